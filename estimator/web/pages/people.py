"""Page of shared mode for owners: who is in the organisation, as what, and who is invited."""

from collections.abc import Callable
from datetime import timedelta
from typing import cast
from uuid import UUID

from flask import Blueprint, Response, current_app, redirect, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from estimator.config import Config
from estimator.store.errors import NoLongerValid
from estimator.store.invitations import invite, open_invitation, revoke_invitation
from estimator.store.listing import Page, list_rows
from estimator.store.organisation_list import members_of
from estimator.store.people import change_role, email_key, remove_membership
from estimator.store.scope import Scope
from estimator.store.shut_out import let_in, shut_out
from estimator.store.tables.organisations import InvitationRow
from estimator.web.api.invitations import InvitationBody
from estimator.web.api.people import RoleBody
from estimator.web.app_database import database
from estimator.web.caller import caller
from estimator.web.cookies import show_once, shown_once
from estimator.web.pages.people_forms import (
    REFUSALS,
    ROLES,
    Refused,
    browsers_only,
    read_form,
    refusal,
    version,
)
from estimator.web.sign_in_answers import page

people_pages = Blueprint("people_pages", __name__, template_folder="templates")
people_pages.before_request(browsers_only)

_MOST_INVITATIONS = 200
_IN_ALREADY = "is in the organisation already; change the role below instead"


@people_pages.get("/people")
def show_people() -> AnyResponse:
    """Everybody in the organisation, and the invitations that are open."""
    return _page(Refused())


@people_pages.post("/people/invitations")
def make_invitation() -> AnyResponse:
    """Invite somebody; the address to hand over is shown once, on the next page."""
    scope = caller().scope
    try:
        with database().writing() as session:
            asked = read_form(InvitationBody, also=_known_already(session, scope))
            until = scope.at + timedelta(days=asked["days"])
            _, secret = invite(session, scope, asked["email"], asked["role"], until)
    except REFUSALS as error:
        return _page(refusal(error))
    return show_once(cast(Response, redirect("/people", 303)), secret.text)


@people_pages.post("/people/invitations/<uuid:invitation_id>/revoke")
def end_invitation(invitation_id: UUID) -> AnyResponse:
    """Make an invitation useless."""
    return _changed(
        invitation_id,
        lambda session, scope: revoke_invitation(session, scope, invitation_id),
        "/people#invitations",
    )


@people_pages.post("/people/<uuid:person_id>/role")
def give_role(person_id: UUID) -> AnyResponse:
    """Give somebody another role."""
    seen = version(request.form.get("seen", ""))

    def change(session: Session, scope: Scope) -> None:
        change_role(session, scope, person_id, read_form(RoleBody)["role"], seen)

    # Who is no owner any more may not see this page.
    own = person_id == caller().scope.person_id
    return _changed(person_id, change, "/account" if own else f"/people#person-{person_id}")


@people_pages.post("/people/<uuid:person_id>/shut-out")
def disable(person_id: UUID) -> AnyResponse:
    """Shut somebody out: no sign-in and no token of theirs works from now on."""
    return _changed(
        person_id,
        lambda session, scope: shut_out(session, scope, person_id),
        f"/people#person-{person_id}",
    )


@people_pages.post("/people/<uuid:person_id>/let-in")
def enable(person_id: UUID) -> AnyResponse:
    """Let somebody in again who was shut out."""
    return _changed(
        person_id,
        lambda session, scope: let_in(session, scope, person_id),
        f"/people#person-{person_id}",
    )


@people_pages.post("/people/<uuid:person_id>/take-out")
def take_out(person_id: UUID) -> AnyResponse:
    """Take somebody out of the organisation; their sign-ins and tokens end."""
    seen = version(request.form.get("seen", ""))
    return _changed(
        person_id,
        lambda session, scope: remove_membership(session, scope, person_id, seen),
        "/people",
    )


def _changed(row: UUID, change: Callable[[Session, Scope], object], target: str) -> AnyResponse:
    try:
        with database().writing() as session:
            change(session, caller().scope)
    except REFUSALS as error:
        told = refusal(error, str(row))
        # The role is a field of each row, and has the row's place for its faults.
        beside = {
            str(row) if name == "role" else name: found for name, found in told.faults.items()
        }
        return _page(Refused(told.status, beside), row=str(row))
    return redirect(target, 303)


def _known_already(session: Session, scope: Scope) -> dict[str, str]:
    key = email_key(request.form.get("email", ""))
    known = any(email_key(each.email) == key for each in members_of(session, scope))
    return {"email": _IN_ALREADY} if known else {}


def _just_made(session: Session, scope: Scope) -> tuple[str, str]:
    """The address to join at of an invitation that was made a moment ago, and for whom."""
    secret = shown_once("i_")
    try:
        row = open_invitation(session, secret, scope.at) if secret else None
    except NoLongerValid:
        row = None
    if row is None or row.organisation_id != scope.organisation_id:
        return "", ""
    settings: Config = current_app.config["ESTIMATOR"]
    # Never by the Host of the request, which whoever sends it makes up.
    base = settings.public_url.rstrip("/")
    return base + url_for("sign_in.show_join", secret=secret), row.email


def _page(refused: Refused, *, row: str = "") -> AnyResponse:
    """row: the form that was refused was of this person or invitation, else the invitation's."""
    scope = caller().scope
    newest = Page(_MOST_INVITATIONS, 0, ("-created_at",))
    with database().reading() as session:
        members = members_of(session, scope)
        found = list_rows(
            session, scope, InvitationRow, newest,
            InvitationRow.accepted_at.is_(None), InvitationRow.revoked_at.is_(None),
            InvitationRow.expires_at > scope.at,
        )  # fmt: skip
        link, invited = _just_made(session, scope)
    shown = {str(each.id) for each in members} | {str(each.id) for each in found.rows}
    typed = request.form if refused.faults else {}
    return page(
        "people.html", refused.status, members=members, invitations=found.rows,
        faults=refused, row=row, gone=() if row in shown else refused.at(row),
        typed={} if row else typed, chosen=typed.get("role", "") if row else "",
        roles=ROLES, me=scope.person_id, link=link, invited=invited,
    )  # fmt: skip
