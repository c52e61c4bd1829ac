"""Forms that only our own pages can send: each carries a secret that other sites cannot know."""

import hmac

from flask import Flask, request
from markupsafe import Markup

from estimator.store.secrets import secret_hash
from estimator.web.caller import Caller
from estimator.web.cookies import csrf_secret
from estimator.web.problem import problem

FIELD = "csrf"
HEADER = "X-CSRF-Token"
_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


class Forged(Exception):
    """A form that was not ours, or is from before the last sign-in."""


def add_csrf(app: Flask) -> None:
    """Give the templates ``csrf_field``; refuse forms without it."""
    app.context_processor(lambda: {"csrf_field": csrf_field})
    app.register_error_handler(
        Forged, lambda _: problem(403, "The form is too old. Load the page again and repeat it.")
    )


def csrf_field() -> Markup:
    """The hidden field of a form; nothing without a session."""
    secret = csrf_secret()
    if not secret:
        return Markup("")
    return Markup('<input type="hidden" name="{}" value="{}">').format(FIELD, secret)


def check_csrf(who: Caller) -> None:
    """Raises Forged for a request of a session that changes something without the secret."""
    if request.method in _SAFE or who.csrf_hash is None:
        return
    given = request.headers.get(HEADER) or request.form.get(FIELD, "")
    if not hmac.compare_digest(secret_hash(given), who.csrf_hash):
        raise Forged
