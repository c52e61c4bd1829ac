"""Headers that every answer carries: what browsers and caches may do with it."""

from flask import Flask, Response, current_app

from estimator.config import Config

_ALWAYS = {
    "Content-Security-Policy": "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; "
    "form-action 'self'; object-src 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
}
_A_YEAR_S = 365 * 24 * 3600


def add_answer_headers(app: Flask) -> None:
    """Send them with everything, also with what went wrong."""
    app.after_request(_send)


def _send(answer: Response) -> Response:
    settings: Config = current_app.config["ESTIMATOR"]
    shared = settings.mode == "shared"
    for name, value in _ALWAYS.items():
        answer.headers.setdefault(name, value)
    # Files of the pages' own looks say "no-cache" themselves; everything else is somebody's. On
    # one's own machine a page that one goes back to keeps what was typed in it.
    kept = "private, no-cache" if not shared and answer.status_code < 400 else "no-store"
    answer.headers.setdefault("Cache-Control", kept)
    if shared and settings.public_url.lower().startswith("https://"):
        # Of this host alone: what else there is below its name is not ours to say.
        answer.headers.setdefault("Strict-Transport-Security", f"max-age={_A_YEAR_S}")
    return answer
