"""One line of JSON for each request and each event, with the request's id and without secrets.

Only what is listed here is written: the route's rule, never the address itself, since that may
hold the secret of a link or an invitation; no headers, no bodies, no parameters.
"""

import json
import logging
import re
import sys
import time
import traceback
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

from flask import Flask, Response, g, has_request_context, request

from estimator.web.caller import Caller

REQUEST_ID = "X-Request-ID"
_USUAL_ID = re.compile(r"[A-Za-z0-9._-]{8,64}")
# Secrets as they are handed out: of sessions, tokens, invitations, links; passwords in URLs.
_SECRET = re.compile(r"\b([a-z]_)[A-Za-z0-9_-]{40,}|(?<=://)([^\s/@:]*):[^\s/@]*@")
_log = logging.getLogger("estimator.request")


class JsonLines(logging.Formatter):
    """A record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """The line of a record."""
        told: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "message": without_secrets(record.getMessage()),
        }
        if has_request_context():
            told["request_id"] = request_id()
        told |= getattr(record, "told", {})
        if record.exc_info and record.exc_info[0] is not None:
            text = "".join(traceback.format_exception(*record.exc_info))
            told["error"] = without_secrets(text)
        return json.dumps(told, ensure_ascii=False, default=str)


def without_secrets(text: str) -> str:
    """A text in which what looks like a secret is left out."""
    return _SECRET.sub(lambda found: f"{found[1] or found[2] or ''}(left out)", text)


def log_as_json(level: str = "INFO") -> None:
    """Let this process write its log as lines of JSON, to the standard error."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel("WARNING")
    logging.getLogger("estimator").setLevel(level)


def request_id() -> str:
    """The id of the current request: the one that a balancer gave, or a new one."""
    known: str | None = g.get("request_id")
    if known is None:
        given = request.headers.get(REQUEST_ID, "")
        known = g.request_id = given if _USUAL_ID.fullmatch(given) else uuid4().hex
    return known


def add_request_log(app: Flask) -> None:
    """Write a line when a request has been answered, and tell its id in the answer."""

    @app.before_request
    def begin() -> None:
        g.begun_at = time.perf_counter()

    @app.after_request
    def end(answer: Response) -> Response:
        answer.headers[REQUEST_ID] = request_id()
        _log.info("answered", extra={"told": _told(answer)})
        return answer


def _told(answer: Response) -> dict[str, Any]:
    told: dict[str, Any] = {
        "method": request.method if len(request.method) <= 10 else "?",
        "route": request.url_rule.rule if request.url_rule else None,
        "status": answer.status_code,
        "bytes": answer.content_length,
    }
    begun_at: float | None = g.get("begun_at")
    if begun_at is not None:
        told["ms"] = round((time.perf_counter() - begun_at) * 1000, 1)
    who: Caller | None = g.get("caller")
    if who is not None:
        told |= {"organisation": who.scope.organisation_id, "by": who.by}
        told |= {"person": str(who.scope.person_id)} if who.scope.person_id else {}
    return told
