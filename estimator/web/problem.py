"""Errors as problem+json (RFC 9457), one shape for all, never showing internals."""

import errno
import json
import logging
from http import HTTPStatus

from flask import Flask, Response
from werkzeug.exceptions import HTTPException

from estimator.finding import InputRefused
from estimator.quotes.states import NotAllowed
from estimator.store.errors import StoreError
from estimator.web.api.estimate_request import BodyUnreadable
from estimator.web.store_problems import status_of

PROBLEM_JSON = "application/problem+json"
_OUR_SIDE = "Something went wrong on our side; it has been logged."
_NO_ROOM = "There is no room left for files on this machine. Nothing was changed; make room first."
_FULL = frozenset({errno.ENOSPC, errno.EDQUOT})
_log = logging.getLogger("estimator.web")


def problem(status: int, detail: str, faults: list[dict[str, str]] | None = None) -> Response:
    """A problem response: title from the status, what went wrong, and each fault."""
    body: dict[str, object] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
    }
    if faults:
        body["faults"] = faults
    return Response(json.dumps(body), status, content_type=PROBLEM_JSON)


def refused(error: InputRefused) -> Response:
    """The 422 answer to outside input that cannot be used."""
    return problem(422, f"The {error.what} cannot be used; every fault is listed.", _told(error))


def unreadable(error: BodyUnreadable) -> Response:
    """The 400 answer to a body that is not JSON."""
    return problem(400, "The body cannot be read as JSON.", _told(error.refused))


def not_stored(error: StoreError) -> Response:
    """The answer to what the store could not do."""
    status, retry_after_s = status_of(error)
    if status == 500:
        _log.error("the store failed", exc_info=error)
    answer = problem(status, str(error) if status != 500 else _OUR_SIDE)
    if retry_after_s is not None:
        answer.headers["Retry-After"] = str(retry_after_s)
    if status == 401:
        answer.headers["WWW-Authenticate"] = "Bearer"
    return answer


def not_allowed(error: NotAllowed) -> Response:
    """The 409 answer to a step that a quote or task in its state cannot take."""
    return problem(409, str(error))


def _told(error: InputRefused) -> list[dict[str, str]]:
    return [{"where": fault.where, "message": fault.message} for fault in error.faults]


def add_error_handlers(app: Flask) -> None:
    """Every error of the application becomes a problem."""
    app.register_error_handler(InputRefused, refused)
    app.register_error_handler(BodyUnreadable, unreadable)
    app.register_error_handler(StoreError, not_stored)
    app.register_error_handler(NotAllowed, not_allowed)

    @app.errorhandler(HTTPException)
    def _http(error: HTTPException) -> Response:
        answer = problem(error.code or 500, error.description or "")
        kept = {"Allow", "Retry-After", "WWW-Authenticate"}
        for name, value in error.get_headers():
            if name in kept:
                answer.headers[name] = value
        return answer

    @app.errorhandler(Exception)
    def _bug(error: Exception) -> Response:
        _log.error("unexpected error", exc_info=error)
        if isinstance(error, OSError) and error.errno in _FULL:
            return problem(507, _NO_ROOM)
        return problem(500, _OUR_SIDE)
