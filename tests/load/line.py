"""One client's connection: sends a request, measures the answer, keeps what was unexpected."""

import http.client
import json
import time
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

V1 = "/api/v1"
TIMEOUT_S = 60
NO_ANSWER = 0
# Shorter than any server keeps an idle connection open.
_IDLE_S = 1.5


@dataclass(frozen=True, slots=True)
class Answer:
    """status: NO_ANSWER where none came."""

    status: int
    data: bytes = b""

    @property
    def document(self) -> Any:
        return json.loads(self.data)


@dataclass(frozen=True, slots=True)
class Timed:
    """What a request of some kind was answered, and when and after how long."""

    kind: str
    status: int
    at: float
    ms: float


@dataclass
class Line:
    """again_s: for how long an answer 503, or none, is asked for again with the same key."""

    port: int
    token: str
    again_s: float = 0.0
    answers: list[Timed] = field(default_factory=list)
    unexpected: list[str] = field(default_factory=list)
    asked_again: int = 0
    _connection: http.client.HTTPConnection | None = None
    _used_at: float = 0.0

    def ask(
        self,
        kind: str,
        method: str,
        path: str,
        body: object = None,
        *,
        wanted: tuple[int, ...] = (200,),
        headers: dict[str, str] | None = None,
        once: bool = True,
    ) -> Answer | None:
        """The answer if it is one of those wanted; another one is kept as unexpected.

        once: a POST is sent with a key, so that it may be sent again.
        """
        told = {"Authorization": f"Bearer {self.token}"} | (headers or {})
        if method == "POST" and once:
            told["Idempotency-Key"] = str(uuid4())
        data = body if isinstance(body, bytes) else None
        if body is not None and data is None:
            data, told["Content-Type"] = json.dumps(body).encode(), "application/json"
        until = time.monotonic() + self.again_s
        while True:
            answer = self._timed(kind, method, V1 + path, data, told)
            if answer.status in wanted:
                return answer
            away = answer.status in (503, NO_ANSWER) and (once or answer.status == 503)
            if not away or time.monotonic() > until:
                break
            self.asked_again += 1
            time.sleep(0.2)
        said = answer.data[:300].decode("utf-8", "replace")
        self.unexpected.append(f"{kind}: {answer.status} {method} {path.partition('?')[0]} {said}")
        return None

    def close(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def _timed(
        self, kind: str, method: str, path: str, data: bytes | None, headers: dict[str, str]
    ) -> Answer:
        begun, at = time.perf_counter(), time.time()
        try:
            answer = self._send(method, path, data, headers)
        except (OSError, http.client.HTTPException) as error:
            self.close()
            answer = Answer(NO_ANSWER, repr(error).encode())
        ms = (time.perf_counter() - begun) * 1000
        self.answers.append(Timed(kind, answer.status, at, ms))
        return answer

    def _send(self, method: str, path: str, data: bytes | None, headers: dict[str, str]) -> Answer:
        if time.monotonic() - self._used_at > _IDLE_S:
            self.close()
        if self._connection is None:
            self._connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=TIMEOUT_S)
        self._connection.request(method, path, data, headers)
        got = self._connection.getresponse()
        answer = Answer(got.status, got.read())
        self._used_at = time.monotonic()
        return answer
