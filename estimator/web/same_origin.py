"""Refuse what another web site makes a browser send here.

A page of anybody can make a browser send forms to this service, and in local mode nobody signs
in, so the browser's own words on where a request comes from count (Fetch Metadata, Origin). In
local mode the Host must be this machine, or a name could be made to point here.
"""

from urllib.parse import urlsplit

from flask import Response, current_app, request

from estimator.config import Config
from estimator.web.problem import problem

LOOPBACK = frozenset({"localhost", "127.0.0.1", "[::1]", "::1"})
_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
_OURS = frozenset({"same-origin", "none"})


def refuse_strangers() -> Response | None:
    """The answer to a request that another site caused; None for one of our own."""
    settings: Config = current_app.config["ESTIMATOR"]
    if settings.mode == "local" and _name(request.host) not in LOOPBACK:
        return problem(421, "In local mode the service answers to this machine's own name only.")
    if request.method in _SAFE or "Authorization" in request.headers:
        return None  # no site can make a browser send a token
    site = request.headers.get("Sec-Fetch-Site")
    origin = request.headers.get("Origin")
    foreign = site not in _OURS if site is not None else not _same(origin)
    if foreign:
        return problem(403, "This was sent by another web site. Open the page here and try again.")
    return None


def _same(origin: str | None) -> bool:
    # Programs send no Origin; browsers always do with what changes something.
    return origin is None or urlsplit(origin).netloc.lower() == request.host.lower()


def _name(host: str) -> str:
    name, colon, port = host.rpartition(":")
    return (name if colon and port.isdigit() and not host.endswith("]") else host).lower()
