"""The cookies: the session's secret, the one against forged forms, and what is shown once."""

from datetime import datetime

from flask import Response, after_this_request, current_app, request

from estimator.config import Config

_SESSION = "estimator_session"
_CSRF = "estimator_csrf"
_ONCE = "estimator_once"
_ONCE_S = 60


def session_secret() -> str:
    """The secret that the browser sent; empty for none."""
    return request.cookies.get(_name(_SESSION), "")


def csrf_secret() -> str:
    """The secret that our forms carry; empty for none."""
    return request.cookies.get(_name(_CSRF), "")


def keep_session(answer: Response, session: str, csrf: str, expires_at: datetime) -> None:
    """Let the browser keep a sign-in."""
    for name, value in ((_SESSION, session), (_CSRF, csrf)):
        answer.set_cookie(
            _name(name), value, expires=expires_at, path="/", secure=_secure(), httponly=True,
            samesite="Lax",
        )  # fmt: skip


def forget_session(answer: Response) -> None:
    """Let the browser forget a sign-in."""
    for name in (_SESSION, _CSRF):
        answer.delete_cookie(_name(name), path="/", secure=_secure(), httponly=True, samesite="Lax")


def show_once(answer: Response, secret: str) -> Response:
    """Let the next page show a secret that was just made, so that a reload makes no other one.

    It is the reader's own browser that carries it, for a minute, as it carries the session.
    """
    answer.set_cookie(
        _name(_ONCE), secret, max_age=_ONCE_S, path="/", secure=_secure(), httponly=True,
        samesite="Lax",
    )  # fmt: skip
    return answer


def shown_once(prefix: str) -> str:
    """The secret that this page is to show, and never again; empty for none of its kind.

    prefix: of the secret, which tells its kind. Anybody could have sent it: ask the store.
    """
    secret = request.cookies.get(_name(_ONCE), "")
    if not secret.startswith(prefix):
        return ""

    @after_this_request
    def forget(answer: Response) -> Response:
        answer.headers["Cache-Control"] = "no-store"
        answer.delete_cookie(
            _name(_ONCE), path="/", secure=_secure(), httponly=True, samesite="Lax"
        )
        return answer

    return secret


def _secure() -> bool:
    settings: Config = current_app.config["ESTIMATOR"]
    # In local mode the browser is on this machine, and there is no https.
    return settings.mode == "shared" and not settings.public_url.lower().startswith("http://")


def _name(name: str) -> str:
    # Browsers take a cookie of this prefix only from us, over https (RFC 6265bis, 4.1.3.2).
    return f"__Host-{name}" if _secure() else name
