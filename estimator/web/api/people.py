"""People of the organisation and their roles; who is calling."""

from uuid import UUID

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate

from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.store.organisation_list import Member, members_of
from estimator.store.organisations import find_organisation
from estimator.store.people import change_role, find_membership, find_person, remove_membership
from estimator.store.shut_out import let_in, shut_out
from estimator.web.api.field_kinds import answered, answered_id
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.caller import caller

ROLES = ("owner", "estimator", "reader")
people = Blueprint(
    "people", __name__, url_prefix="/api/v1/people",
    description="Who is in the organisation, as what (owners only)",
)  # fmt: skip
me = Blueprint("me", __name__, url_prefix="/api/v1/me", description="Who is calling")


def role_field(description: str, *, required: bool = True, usual: str = "reader") -> Text:
    """A role that is asked for."""
    metadata = {"description": description, "example": usual}
    check = validate.OneOf(ROLES, error=f"must be one of {', '.join(ROLES)}")
    if required:
        return Text(required=True, validate=check, metadata=metadata)
    return Text(load_default=usual, validate=check, metadata=metadata)


class RoleBody(Told):
    """Another role."""

    role = role_field("what the person may do from now on")


class PersonSchema(Schema):
    """Somebody in the organisation."""

    id = answered_id("identifier")
    email = answered(fields.String, "address to sign in with", "owner@example.org")
    name = answered(fields.String, "as quotes and the trail show it", "A. Person")
    role = answered(fields.String, "what the person may do", "owner")
    disabled = answered(fields.Boolean, "cannot sign in", False)
    version = answered(
        fields.Integer, "counts changes of the role and of being shut out; the ETag", 1
    )


class PeopleSchema(Schema):
    """Everybody in the organisation."""

    rows = fields.List(fields.Nested(PersonSchema), required=True)


class CallerSchema(Schema):
    """Who is calling."""

    organisation_id = answered(fields.Integer, "number of the organisation", 1)
    organisation = answered(fields.String, "its name", "Invented Electric")
    person_id = answered_id("who; null in local mode", nullable=True)
    name = answered(fields.String, "as the trail shows it", "A. Person")
    role = answered(fields.String, "what may be done", "owner")
    by = answered(fields.String, "local, session or token", "token")


@operation(me, Operation("GET", "", CallerSchema))
def show_caller(ask: Ask) -> Reply:
    """Tell who is calling, for which organisation"""
    who = caller()
    return Reply(
        {
            "organisation_id": ask.scope.organisation_id,
            "organisation": find_organisation(ask.session, ask.scope).name,
            "person_id": ask.scope.person_id,
            "name": ask.scope.person_name,
            "role": who.role,
            "by": who.by,
        }
    )


@operation(people, Operation("GET", "", PeopleSchema))
def list_people(ask: Ask) -> Reply:
    """List everybody in the organisation"""
    return Reply({"rows": members_of(ask.session, ask.scope)})


@operation(people, Operation("GET", "/<uuid:person_id>", PersonSchema))
def show_person(ask: Ask, person_id: UUID) -> Reply:
    """Show a person"""
    return _told(ask, person_id)


@operation(
    people,
    Operation("PUT", "/<uuid:person_id>", PersonSchema, body=RoleBody, if_match=True),
    documented=Documented("The person as they are now", {"role": "reader"}),
)
def replace_role(ask: Ask, person_id: UUID) -> Reply:
    """Give somebody another role; the last owner stays one"""
    row = find_membership(ask.session, ask.scope, person_id)
    version = ask.condition.version(row.version)
    change_role(ask.session, ask.scope, person_id, ask.body["role"], version)
    return _told(ask, person_id)


@operation(people, Operation("DELETE", "/<uuid:person_id>", None, 204, if_match=True))
def delete_person(ask: Ask, person_id: UUID) -> Reply:
    """Take somebody out of the organisation; their sign-ins and tokens end at once"""
    row = find_membership(ask.session, ask.scope, person_id)
    remove_membership(ask.session, ask.scope, person_id, ask.condition.version(row.version))
    return Reply()


@operation(
    people,
    Operation("POST", "/<uuid:person_id>/shut-out", PersonSchema),
    documented=Documented("The person, who cannot come in any more"),
)
def disable_person(ask: Ask, person_id: UUID) -> Reply:
    """Shut somebody out: no sign-in and no token works from now on, and all sign-ins end"""
    shut_out(ask.session, ask.scope, person_id)
    return _told(ask, person_id)


@operation(
    people,
    Operation("POST", "/<uuid:person_id>/let-in", PersonSchema),
    documented=Documented("The person, who may come in again"),
)
def enable_person(ask: Ask, person_id: UUID) -> Reply:
    """Let somebody in again who was shut out; tokens that still last work again"""
    let_in(ask.session, ask.scope, person_id)
    return _told(ask, person_id)


def _told(ask: Ask, person_id: UUID) -> Reply:
    row = find_membership(ask.session, ask.scope, person_id)
    person = find_person(ask.session, person_id)
    disabled = person.disabled_at is not None
    shown = Member(person.id, person.email, person.name, row.role, disabled, row.version)
    return Reply(shown, row.version)
