"""The page of one's own account in shared mode: organisations and the password."""

from dataclasses import dataclass
from uuid import UUID

from flask import Blueprint, Response, abort, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from estimator.finding import InputRefused
from estimator.store.access import end_session
from estimator.store.audit import note
from estimator.store.people import find_person, memberships_of
from estimator.store.scope import Scope
from estimator.store.sign_ins import keep_password
from estimator.store.tables.organisations import Role
from estimator.web.app_database import database
from estimator.web.caller import caller
from estimator.web.passwords import LEAST_LETTERS, password_fits, password_hash
from estimator.web.rate_limits import TooMany, begin_sign_in, end_sign_in, wrong_sign_in
from estimator.web.sign_in_answers import Begun, begin, organisation_name, page, signed_in, told

account_pages = Blueprint("account", __name__, template_folder="pages/templates")


@dataclass(frozen=True, slots=True)
class Place:
    """An organisation that the signed-in person may work for."""

    organisation_id: int
    name: str
    role: Role


@account_pages.get("/account")
def show_account() -> AnyResponse:
    """Who is signed in, for which organisation; other organisations; the password."""
    return _account("")


@account_pages.post("/account/organisation")
def work_for() -> AnyResponse:
    """Go on for another organisation that one is in; begins a new sign-in."""
    person_id, way = _signed_in_person()
    who, asked = caller(), request.form.get("organisation", "")
    with database().writing() as session:
        wanted = [
            each.organisation_id
            for each in memberships_of(session, person_id)
            if str(each.organisation_id) == asked
        ]
        if not wanted:
            abort(404, "You are in no such organisation.")
        end_session(session, who.scope, way)
        person = find_person(session, person_id)
        begun = begin(session, Scope(wanted[0], who.scope.at, person_id, person.name))
    return signed_in(begun, "/")


@account_pages.post("/account/password")
def change_password() -> AnyResponse:
    """Another password, by whoever knows the one of now; ends this person's other sign-ins."""
    person_id, _ = _signed_in_person()
    who, place = caller(), request.remote_addr or ""
    with database().reading() as session:
        person = find_person(session, person_id)
    try:
        begin_sign_in(person.email_key, place)
        if not password_fits(person.password_hash, request.form.get("password", "")):
            wrong_sign_in(person.email_key, place)
            return _account("That is not the password of now.", 403)
        fresh = password_hash(request.form.get("new_password", ""))
    except (InputRefused, TooMany) as error:
        return _account(told(error), 422 if isinstance(error, InputRefused) else 429)
    end_sign_in(person.email_key, place)
    with database().writing() as session:
        begun = _begin_anew(session, who.scope, person_id, fresh)
    return signed_in(begun, "/account")


def _begin_anew(session: Session, scope: Scope, person_id: UUID, fresh: str) -> Begun:
    keep_password(session, find_person(session, person_id), fresh, scope.at)
    note(session, scope, "changed password", "person", person_id)
    return begin(session, scope)


def _signed_in_person() -> tuple[UUID, UUID]:
    who = caller()
    if who.by != "session" or who.scope.person_id is None or who.way is None:
        abort(403, "Only somebody who is signed in in a browser has an account page.")
    return who.scope.person_id, who.way


def _account(wrong: str, status: int = 200) -> Response:
    person_id, _ = _signed_in_person()
    here = caller().scope.organisation_id
    at = caller().scope.at
    with database().reading() as session:
        person = find_person(session, person_id)
        places = [
            Place(
                row.organisation_id, organisation_name(session, row.organisation_id, at), row.role
            )
            for row in memberships_of(session, person_id)
        ]
    return page(
        "account.html", status, wrong=wrong, person=person, least=LEAST_LETTERS,
        here=next(place for place in places if place.organisation_id == here),
        others=[place for place in places if place.organisation_id != here],
    )  # fmt: skip
