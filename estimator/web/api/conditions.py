"""Conditions of a request on the version of what it changes (RFC 9110, section 13)."""

import re
from dataclasses import dataclass

from flask import Request
from werkzeug.exceptions import BadRequest, PreconditionFailed, PreconditionRequired

_TAG = re.compile(r'\s*(W/)?"([\x21\x23-\x7e\x80-\xff]*)"\s*(?:,|$)')
_NEEDED = "Read it first, then send its ETag as If-Match, so that no change of others is lost."
_STALE = "It was changed since you read it. Read it again, then change it."
_BROKEN = 'If-Match must be "*" or ETags in double quotes, with commas between.'


def etag(version: int) -> str:
    """The ETag of a version of a row."""
    return f'"{version}"'


@dataclass(frozen=True, slots=True)
class Condition:
    """What If-Match says. tags: the strong ones; None for "*", which any version meets."""

    tags: frozenset[str] | None

    def version(self, current: int) -> int:
        """The version to change, which is the current one. Raises PreconditionFailed."""
        if self.tags is not None and etag(current)[1:-1] not in self.tags:
            raise PreconditionFailed(_STALE)
        return current


def read_condition(request: Request) -> Condition:
    """The request's If-Match. Raises PreconditionRequired without one, BadRequest."""
    text = request.headers.get("If-Match")
    if text is None:
        raise PreconditionRequired(_NEEDED)
    if text.strip() == "*":
        return Condition(None)
    strong: set[str] = set()
    at = 0
    while at < len(text):
        found = _TAG.match(text, at)
        if found is None:
            raise BadRequest(_BROKEN)
        # If-Match compares strongly: a weak tag meets nothing (section 13.1.1).
        if not found[1]:
            strong.add(found[2])
        at = found.end()
    if not text.strip():
        raise BadRequest(_BROKEN)
    return Condition(frozenset(strong))


def check_new(request: Request) -> None:
    """Nothing is there yet, so no version of it can be met. Raises PreconditionFailed."""
    if "If-Match" in request.headers:
        raise PreconditionFailed("There is nothing yet that this could replace.")
