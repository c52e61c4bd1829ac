"""Invitations to join the organisation."""

import re
from datetime import timedelta
from uuid import UUID

from flask import url_for
from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate
from werkzeug.exceptions import Conflict, Forbidden

from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.store.invitations import invite, revoke_invitation
from estimator.store.scope import find
from estimator.store.tables.organisations import InvitationRow
from estimator.web.api.field_kinds import Whole, answered, answered_id, moment
from estimator.web.api.listing import PageQuery, list_page, page_of
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.people import role_field
from estimator.web.caller import caller

_LOCAL = "In local mode nobody signs in, so nobody can be invited."
_BY_TOKEN = "A token cannot invite people; sign in first."
_ADDRESS = re.compile(r"[^@\s]+@[^@\s]+")
invitations = Blueprint(
    "invitations", __name__, url_prefix="/api/v1/invitations",
    description="Let somebody join with a role (owners only)",
)  # fmt: skip


class InvitationBody(Told):
    """Whom to invite."""

    email = Text(
        required=True,
        validate=[
            validate.Length(max=320),
            validate.Regexp(_ADDRESS, error="must be an address such as name@example.org"),
        ],
        metadata={"description": "address of the person", "example": "new@example.org"},
    )
    role = role_field("what the person may do")
    days = Whole(
        load_default=7,
        validate=validate.Range(1, 30, error="must be {min} to {max}"),
        metadata={"description": "how long it is valid [days]", "example": 7},
    )


class InvitationSchema(Schema):
    """An invitation without its secret."""

    id = answered_id("identifier")
    email = answered(fields.String, "address of the person", "new@example.org")
    role = answered(fields.String, "what the person may do", "reader")
    created_at = moment("when it was made")
    expires_at = moment("until when it is valid")
    accepted_at = moment("when it was accepted", nullable=True)
    revoked_at = moment("since when it is useless", nullable=True)


class NewInvitationSchema(InvitationSchema):
    """An invitation with the address to send to the person, which is told this once only."""

    link = answered(
        fields.String, "address to hand over", "https://estimates.example.org/join/i_...",
        nullable=True,
    )  # fmt: skip


@operation(invitations, Operation("GET", "", page_of(InvitationSchema), query=PageQuery))
def list_invitations(ask: Ask) -> Reply:
    """List invitations"""
    columns = {"created_at": InvitationRow.created_at, "expires_at": InvitationRow.expires_at}
    return list_page(ask, InvitationRow, columns, "-created_at")


@operation(
    invitations,
    Operation("POST", "", NewInvitationSchema, 201, body=InvitationBody, secrets=("link",)),
    documented=Documented(
        "The invitation with its link, which is told this once only",
        {"email": "new@example.org", "role": "reader", "days": 7},
    ),
)
def create_invitation(ask: Ask) -> Reply:
    """Invite somebody; hand the link over yourself"""
    who = caller()
    if who.by != "session":
        raise Conflict(_LOCAL) if who.by == "local" else Forbidden(_BY_TOKEN)
    until = ask.scope.at + timedelta(days=ask.body["days"])
    row, secret = invite(ask.session, ask.scope, ask.body["email"], ask.body["role"], until)
    base = ask.config.public_url.rstrip("/")
    link = base + url_for("sign_in.show_join", secret=secret.text)
    told = {each: getattr(row, each) for each in InvitationSchema().fields}
    return Reply(told | {"link": link}, location=f"/api/v1/invitations/{row.id}")


@operation(invitations, Operation("GET", "/<uuid:invitation_id>", InvitationSchema))
def show_invitation(ask: Ask, invitation_id: UUID) -> Reply:
    """Show an invitation"""
    return Reply(find(ask.session, ask.scope, InvitationRow, invitation_id, what="invitation"))


@operation(invitations, Operation("DELETE", "/<uuid:invitation_id>", None, 204))
def delete_invitation(ask: Ask, invitation_id: UUID) -> Reply:
    """Make an invitation useless at once"""
    revoke_invitation(ask.session, ask.scope, invitation_id)
    return Reply()
