"""The ways in of shared mode: sign in and out, join by an invitation."""

from datetime import UTC, datetime

from flask import Blueprint, Flask, Response, make_response, redirect, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from estimator.config import Config
from estimator.finding import InputRefused
from estimator.store.access import end_session
from estimator.store.errors import Conflict, NoLongerValid
from estimator.store.invitations import accept_invitation, open_invitation
from estimator.store.people import (
    add_person,
    email_key,
    find_person,
    memberships_of,
    person_by_email,
)
from estimator.store.scope import Scope, flush
from estimator.store.tables.organisations import PersonRow
from estimator.web.account import account_pages
from estimator.web.app_database import database
from estimator.web.caller import caller
from estimator.web.cookies import forget_session
from estimator.web.held_form import held_form
from estimator.web.next_page import next_page
from estimator.web.pages.people import people_pages
from estimator.web.pages.people_tokens import token_pages
from estimator.web.passwords import LEAST_LETTERS, out_of_date, password_fits, password_hash
from estimator.web.rate_limits import TooMany, begin_sign_in, end_sign_in, wrong_sign_in
from estimator.web.sign_in_answers import (
    begin,
    keep_sign_in,
    line,
    organisation_name,
    page,
    signed_in,
    told,
)

_WRONG = "That address and password do not go together."
_NOBODY_IN = "This account belongs to no organisation any more. Ask an owner for an invitation."
_SHUT_OUT = "This account is shut out. Whoever did that has to let it in again first."

sign_in = Blueprint("sign_in", __name__, template_folder="pages/templates")


def add_sign_in(app: Flask) -> None:
    """Add the pages; in local mode nobody signs in, so there are none."""
    settings: Config = app.config["ESTIMATOR"]
    app.context_processor(lambda: {"shared": settings.mode == "shared"})
    if settings.mode == "shared":
        for blueprint in (sign_in, account_pages, people_pages, token_pages):
            app.register_blueprint(blueprint)


@sign_in.get("/sign-in")
def show_sign_in() -> AnyResponse:
    """The form to sign in with."""
    return _form("")


@sign_in.post("/sign-in")
def try_sign_in() -> AnyResponse:
    """Sign in; the same words and the same time whatever was wrong."""
    email, password = line("email"), request.form.get("password", "")
    key, place = email_key(email), request.remote_addr or ""
    try:
        begin_sign_in(key, place)
    except TooMany as error:
        answer = _form(str(error), 429)
        answer.headers["Retry-After"] = str(error.retry_after_s)
        return answer
    with database().reading() as session:
        person = person_by_email(session, email)
    fits = password_fits(person.password_hash if person else None, password)
    if person is None or not fits or person.disabled_at is not None:
        wrong_sign_in(key, place)
        return _form(_WRONG, 401)
    end_sign_in(key, place)
    at = datetime.now(UTC)
    with database().writing() as session:
        first = next(iter(memberships_of(session, person.id)), None)
        if first is None:
            return _form(_NOBODY_IN, 403)
        _renew_hash(session, person, password)
        begun = begin(session, Scope(first.organisation_id, at, person.id, person.name))
    held = held_form()
    if held is not None:
        return keep_sign_in(page("send_again.html", 200, held=held, csrf=begun.csrf.text), begun)
    return signed_in(begun, next_page(request.form.get("next")))


@sign_in.post("/sign-out")
def sign_out() -> AnyResponse:
    """End this sign-in."""
    who = caller()
    if who.by == "session" and who.way is not None:
        with database().writing() as session:
            end_session(session, who.scope, who.way)
    answer = make_response(redirect("/sign-in", 303))
    forget_session(answer)
    return answer


@sign_in.get("/join/<secret>")
def show_join(secret: str) -> AnyResponse:
    """What an invitation is for, and the form to accept it."""
    return _join(secret, "")


@sign_in.post("/join/<secret>")
def join(secret: str) -> AnyResponse:
    """Accept an invitation: with a new account, or with the password of the one there is."""
    at, password = datetime.now(UTC), request.form.get("password", "")
    name = line("name")
    try:
        with database().reading() as session:
            invited = open_invitation(session, secret, at)
            known = person_by_email(session, invited.email)
        begin_sign_in(invited.email_key, request.remote_addr or "")
        if known is not None and not password_fits(known.password_hash, password):
            wrong_sign_in(invited.email_key, request.remote_addr or "")
            return _join(secret, "That is not the password of the account there is.", 403)
        if known is not None and known.disabled_at is not None:
            return _join(secret, _SHUT_OUT, 403)
        if known is None and not name:
            return _join(secret, "Write your name.", 422)
        fresh = password_hash(password) if known is None else ""
        with database().writing() as session:
            invited = open_invitation(session, secret, at)
            person = person_by_email(session, invited.email) or add_person(
                session, invited.email, name, fresh, at
            )
            begun = begin(session, accept_invitation(session, invited, person, at))
    except (InputRefused, TooMany, NoLongerValid, Conflict) as error:
        statuses = {InputRefused: 422, TooMany: 429, NoLongerValid: 404, Conflict: 409}
        return _join(secret, told(error), statuses[type(error)])
    end_sign_in(person.email_key, request.remote_addr or "")
    return signed_in(begun, "/")


def _renew_hash(session: Session, person: PersonRow, password: str) -> None:
    if person.password_hash is not None and out_of_date(person.password_hash):
        find_person(session, person.id).password_hash = password_hash(password)
        flush(session)


def _form(wrong: str, status: int = 200) -> Response:
    target = next_page(request.values.get("next"))
    return page(
        "sign_in.html", status, wrong=wrong, next=target, email=line("email"), held=held_form()
    )


def _join(secret: str, wrong: str, status: int = 200) -> Response:
    at = datetime.now(UTC)
    try:
        with database().reading() as session:
            invited = open_invitation(session, secret, at)
            known = person_by_email(session, invited.email) is not None
            name = organisation_name(session, invited.organisation_id, at)
    except NoLongerValid as error:
        return page("join.html", 404, wrong=str(error), invited=None)
    return page(
        "join.html", status, wrong=wrong, invited=invited, organisation=name, known=known,
        least=LEAST_LETTERS, typed=line("name"),
    )  # fmt: skip
