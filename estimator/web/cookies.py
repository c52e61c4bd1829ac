"""The two cookies of a sign-in: the session's secret, and the one against forged forms."""

from datetime import datetime

from flask import Response, current_app, request

from estimator.config import Config

_SESSION = "estimator_session"
_CSRF = "estimator_csrf"


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


def _secure() -> bool:
    settings: Config = current_app.config["ESTIMATOR"]
    return not settings.public_url.lower().startswith("http://")


def _name(name: str) -> str:
    # Browsers take a cookie of this prefix only from us, over https (RFC 6265bis, 4.1.3.2).
    return f"__Host-{name}" if _secure() else name
