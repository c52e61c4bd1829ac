"""Requests that may be sent twice: Idempotency-Key on POST."""

import hashlib
import json
import re
from datetime import timedelta

from flask import Request, Response
from sqlalchemy.orm import Session
from werkzeug.exceptions import BadRequest

from estimator.store.idempotency import KeptAnswer, begin_once, keep_answer
from estimator.store.scope import Scope

HEADER = "Idempotency-Key"
REPLAYED = "Idempotency-Replayed"
KEPT_FOR = timedelta(hours=24)
_KEY = re.compile(r'"?([\x21\x23-\x7e]{1,255})"?')
_KEPT_HEADERS = ("Location", "ETag", "Content-Type")


def read_key(request: Request) -> str | None:
    """The key of a request, with or without quotation marks around; None without one.

    Raises BadRequest for one that is blank, too long, or not of visible ASCII characters.
    """
    text = request.headers.get(HEADER)
    if text is None:
        return None
    found = _KEY.fullmatch(text)
    if found is None:
        raise BadRequest(f"{HEADER} must be 1 to 255 visible ASCII characters, such as a UUID.")
    return found[1]


def repeated(
    session: Session, scope: Scope, key: str, request: Request, data: bytes
) -> Response | None:
    """The answer of the first request with this key; None where this is the first.

    Raises Conflict for a key that was used for another request.
    """
    digest = hashlib.sha256(f"{request.mimetype}\n{request.query_string!r}\n".encode() + data)
    asked = f"{request.method} {request.path}"
    kept = begin_once(session, scope, key, asked, digest.hexdigest(), scope.at + KEPT_FOR)
    if kept is None:
        return None
    return Response(kept.body, kept.status, headers={**kept.headers, REPLAYED: "true"})


def keep(
    session: Session, scope: Scope, key: str, answer: Response, secrets: tuple[str, ...]
) -> None:
    """Keep the answer for who repeats the request, without the fields that hold secrets."""
    headers = {name: answer.headers[name] for name in _KEPT_HEADERS if name in answer.headers}
    body = answer.get_data()
    if secrets:
        # Only a hash of a secret is ever kept, here too: a repeat is answered without it.
        document = json.loads(body)
        body = json.dumps(document | dict.fromkeys(secrets)).encode()
    keep_answer(session, scope, key, KeptAnswer(answer.status_code, headers, body))
