"""Page of shared mode for tokens of programs: one's own; an owner sees everybody's."""

from datetime import timedelta
from typing import cast
from uuid import UUID

from flask import Blueprint, Response, abort, redirect, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from estimator.store.access import add_token, open_token, revoke_token
from estimator.store.errors import NoLongerValid, NotFound
from estimator.store.organisation_list import tokens_of
from estimator.store.scope import Scope, find
from estimator.store.tables.organisations import AccessTokenRow
from estimator.web.api.tokens import TokenBody
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
)
from estimator.web.sign_in_answers import page

token_pages = Blueprint("token_pages", __name__, template_folder="templates")
token_pages.before_request(browsers_only)


@token_pages.get("/tokens")
def show_tokens() -> AnyResponse:
    """The tokens, those that still let a program in first."""
    return _page(Refused())


@token_pages.post("/tokens")
def make_token() -> AnyResponse:
    """A new token of one's own; its secret is shown once, on the next page."""
    scope = caller().scope
    if scope.person_id is None:
        abort(404)
    try:
        asked = read_form(TokenBody, also=_too_much())
        until = scope.at + timedelta(days=asked["days"])
        with database().writing() as session:
            _, secret = add_token(
                session, scope, scope.person_id, asked["name"], asked["role"], until
            )
    except REFUSALS as error:
        return _page(refusal(error))
    return show_once(cast(Response, redirect("/tokens", 303)), secret.text)


@token_pages.post("/tokens/<uuid:token_id>/revoke")
def end_token(token_id: UUID) -> AnyResponse:
    """Make a token useless."""
    try:
        with database().writing() as session:
            _check_own(session, caller().scope, token_id)
            revoke_token(session, caller().scope, token_id)
    except NotFound as error:
        return _page(refusal(error))
    return redirect("/tokens#valid", 303)


def _check_own(session: Session, scope: Scope, token_id: UUID) -> None:
    row = find(session, scope, AccessTokenRow, token_id, what="token")
    if not caller().may("owner") and row.person_id != scope.person_id:
        raise NotFound("token", token_id)


def _too_much() -> dict[str, str]:
    asked = request.form.get("role", "")
    mine = caller().role
    if asked in ROLES and not any(asked == each and caller().may(each) for each in ROLES):
        return {"role": f"{asked} is more than you may do yourself; you are {mine}"}
    return {}


def _just_made(session: Session, scope: Scope) -> tuple[str, UUID | None]:
    """The secret of a token that was made a moment ago, and which token it is."""
    secret = shown_once("t_")
    try:
        access = open_token(session, secret, scope.at) if secret else None
    except NoLongerValid:
        access = None
    if access is None or access.scope.person_id != scope.person_id:
        return "", None
    return secret, access.way


def _page(refused: Refused) -> AnyResponse:
    who = caller()
    everybodys = who.may("owner")
    with database().reading() as session:
        tokens = tokens_of(session, who.scope, None if everybodys else who.scope.person_id)
        secret, way = _just_made(session, who.scope)
    made = next((each.name for each in tokens if each.id == way), "")
    valid = [each for each in tokens if not each.revoked_at and each.expires_at > who.scope.at]
    return page(
        "tokens.html", refused.status, valid=list(reversed(valid)),
        ended=[each for each in reversed(tokens) if each not in valid],
        faults=refused, typed=request.form if refused.faults else {},
        roles={each: words for each, words in ROLES.items() if who.may(each)},
        everybodys=everybodys, secret=secret if made else "", made=made,
    )  # fmt: skip
