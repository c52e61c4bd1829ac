"""Let in who may come in: before every request, in one place, so that no route can forget it."""

from contextlib import suppress
from datetime import UTC, datetime
from typing import cast
from urllib.parse import quote

from flask import Flask, Response, current_app, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from estimator.config import Config
from estimator.store.access import Access, keep_use, open_session, open_token
from estimator.store.errors import (
    DatabaseUnavailable,
    NoLongerValid,
    StorageFull,
    StoreError,
)
from estimator.web.app_database import database
from estimator.web.caller import Caller, NotSignedIn, set_caller
from estimator.web.cookies import forget_session, session_secret
from estimator.web.csrf import check_csrf
from estimator.web.problem import problem
from estimator.web.rate_limits import TooMany, bad_addresses, bad_tokens, count_request
from estimator.web.route_roles import role_asked
from estimator.web.same_origin import refuse_strangers

# What routes call the part of an address that lets in whoever knows it.
_SECRET = "secret"
_WHO_ARE_YOU = "Sign in, or send a token that is still valid."


class RoleTooLow(Exception):
    """The caller may not do this. The message may be shown."""


def add_admission(app: Flask) -> None:
    """Check where a request comes from, who sends it and whether they may."""
    app.before_request(refuse_strangers)
    app.before_request(_admit)
    app.after_request(_count_guess)
    app.register_error_handler(NotSignedIn, _not_signed_in)
    app.register_error_handler(RoleTooLow, lambda error: problem(403, str(error)))
    app.register_error_handler(TooMany, _too_many)


def _admit() -> None:
    if request.url_rule is None:
        return  # no such address, or not with this method: the answer tells that
    if _SECRET in request.url_rule.arguments:
        bad_addresses.check(request.remote_addr or "")
    asked = role_asked(request.url_rule.rule, request.method)
    settings: Config = current_app.config["ESTIMATOR"]
    if settings.mode == "local" or asked == "anyone":
        return  # in local mode the one person there is owns everything
    who = _recognise(datetime.now(UTC))
    set_caller(who)
    count_request(str(who.way), settings.requests_per_minute)
    if not who.may(asked):
        raise RoleTooLow(
            f"This needs the role {asked}; yours is {who.role}. An owner can change that."
        )
    if who.by == "session":
        check_csrf(who)


def _count_guess(answer: Response) -> Response:
    """Count an address with a secret that opened nothing, when its transaction is over."""
    rule = request.url_rule
    if answer.status_code == 404 and rule is not None and _SECRET in rule.arguments:
        # The next one is refused where this was one too many; and it is a 404 in any case.
        with suppress(TooMany, StoreError):
            bad_addresses.hit(request.remote_addr or "")
    return answer


def _recognise(at: datetime) -> Caller:
    scheme, _, text = request.headers.get("Authorization", "").partition(" ")
    if scheme:
        if scheme.lower() != "bearer":
            raise NotSignedIn("Send a token as: Authorization: Bearer TOKEN.")
        return _by_token(text.strip(), at)
    secret = session_secret()
    if not secret:
        raise NotSignedIn(_WHO_ARE_YOU)
    try:
        with database().reading() as session:
            access = open_session(session, secret, at)
    except NoLongerValid as error:
        raise NotSignedIn(_WHO_ARE_YOU) from error
    _keep_use(access)
    return Caller(access.scope, access.role, "session", access.way, access.csrf_hash)


def _by_token(text: str, at: datetime) -> Caller:
    bad_tokens.check(request.remote_addr or "")
    try:
        with database().reading() as session:
            access = open_token(session, text, at)
    except NoLongerValid as error:
        bad_tokens.hit(request.remote_addr or "")
        raise NotSignedIn(_WHO_ARE_YOU) from error
    _keep_use(access)
    return Caller(access.scope, access.role, "token", access.way)


def _keep_use(access: Access) -> None:
    if access.seen_lately:
        return
    # Who only reads goes on while nothing can be kept; who changes something is told anyway.
    with suppress(StorageFull, DatabaseUnavailable), database().writing() as session:
        keep_use(session, access)


def _not_signed_in(error: NotSignedIn) -> AnyResponse:
    page = not request.path.startswith("/api/") and request.method == "GET"
    if page and "Authorization" not in request.headers:
        target = request.full_path.rstrip("?")
        answer: AnyResponse = redirect(f"/sign-in?next={quote(target, safe='')}", 303)
    else:
        answer = problem(401, str(error))
        answer.headers["WWW-Authenticate"] = 'Bearer realm="estimator"'
    if session_secret():
        forget_session(cast(Response, answer))
    return answer


def _too_many(error: TooMany) -> Response:
    answer = problem(429, str(error))
    answer.headers["Retry-After"] = str(error.retry_after_s)
    return answer
