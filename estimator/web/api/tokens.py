"""Tokens by which programs use the service, as one of the organisation's people."""

from datetime import timedelta
from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate
from werkzeug.exceptions import Conflict, Forbidden

from estimator.job.told import Told
from estimator.store.access import add_token, revoke_token
from estimator.store.errors import NotFound
from estimator.store.organisation_list import tokens_of
from estimator.store.scope import find
from estimator.store.tables.organisations import AccessTokenRow
from estimator.web.api.field_kinds import Whole, answered, answered_id, moment, name
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.people import role_field
from estimator.web.caller import caller

_LOCAL = "In local mode nobody signs in, so programs need no token."
_BY_TOKEN = "A token cannot make tokens; sign in, or use: estimator tokens add."
tokens = Blueprint(
    "tokens", __name__, url_prefix="/api/v1/tokens",
    description="Ways in for programs: one's own; an owner sees and revokes everybody's",
)  # fmt: skip


class TokenBody(Told):
    """A token to be made."""

    name = name("what it is for", "accountant's spreadsheet")
    role = role_field("the most that it may do; never more than its person", required=False)
    days = Whole(
        load_default=90,
        validate=validate.Range(1, 366, error="must be {min} to {max}"),
        metadata={"description": "how long it is valid [days]", "example": 90},
    )


class TokenSchema(Schema):
    """A token without its secret."""

    id = answered_id("identifier")
    person_id = answered_id("whose it is")
    name = answered(fields.String, "what it is for", "accountant's spreadsheet")
    role = answered(fields.String, "the most that it may do", "reader")
    created_at = moment("when it was made")
    expires_at = moment("until when it is valid")
    used_at = moment("when it was last used, to about five minutes", nullable=True)
    revoked_at = moment("since when it is useless", nullable=True)


class NewTokenSchema(TokenSchema):
    """A token with its secret, which is told this once only."""

    secret = answered(fields.String, "to send as a bearer token", "t_...", nullable=True)


class TokensSchema(Schema):
    """Tokens."""

    rows = fields.List(fields.Nested(TokenSchema), required=True)


@operation(tokens, Operation("GET", "", TokensSchema))
def list_tokens(ask: Ask) -> Reply:
    """List one's own tokens; an owner sees everybody's"""
    mine = None if caller().may("owner") else ask.scope.person_id
    return Reply({"rows": tokens_of(ask.session, ask.scope, mine)})


@operation(
    tokens,
    Operation("POST", "", NewTokenSchema, 201, body=TokenBody, secrets=("secret",)),
    documented=Documented(
        "The new token with its secret, which is told this once only",
        {"name": "accountant's spreadsheet", "role": "reader", "days": 90},
    ),
)
def create_token(ask: Ask) -> Reply:
    """Make a token of one's own"""
    person_id = ask.scope.person_id
    if person_id is None:
        raise Conflict(_LOCAL)
    if caller().by == "token":
        raise Forbidden(_BY_TOKEN)
    row, secret = add_token(
        ask.session,
        ask.scope,
        person_id,
        ask.body["name"],
        ask.body["role"],
        ask.scope.at + timedelta(days=ask.body["days"]),
    )
    told = {each: getattr(row, each) for each in TokenSchema().fields}
    return Reply(told | {"secret": secret.text}, location=f"/api/v1/tokens/{row.id}")


@operation(tokens, Operation("GET", "/<uuid:token_id>", TokenSchema))
def show_token(ask: Ask, token_id: UUID) -> Reply:
    """Show a token"""
    return Reply(_find(ask, token_id))


@operation(tokens, Operation("DELETE", "/<uuid:token_id>", None, 204))
def delete_token(ask: Ask, token_id: UUID) -> Reply:
    """Make a token useless at once"""
    revoke_token(ask.session, ask.scope, _find(ask, token_id).id)
    return Reply()


def _find(ask: Ask, token_id: UUID) -> AccessTokenRow:
    row = find(ask.session, ask.scope, AccessTokenRow, token_id, what="token")
    if not caller().may("owner") and row.person_id != ask.scope.person_id:
        raise NotFound("token", token_id)
    return row
