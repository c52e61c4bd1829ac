"""The organisation itself: its name and settings, all its data, its end."""

from flask_smorest import Blueprint
from marshmallow import Schema, fields, validate
from werkzeug.exceptions import Forbidden

from estimator.finding import Fault, InputRefused
from estimator.job.schema_fields import Text
from estimator.job.told import Told
from estimator.store.audit import note
from estimator.store.organisations import (
    change_organisation,
    delete_organisation,
    find_organisation,
)
from estimator.store.tables.organisations import OrganisationRow
from estimator.store.tasks import add_task
from estimator.tasks.kinds import EXPORT_ORGANISATION
from estimator.tasks.queue import hand_over
from estimator.web.api.field_kinds import answered, moment, name, remark
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.tasks import BackgroundTaskSchema
from estimator.web.caller import caller

organisation = Blueprint(
    "organisation", __name__, url_prefix="/api/v1/organisation",
    description="The organisation, everything it has, and its end",
)  # fmt: skip
_EXAMPLE = {"name": "Invented Electric", "head": "12 Example Road\n555-0100"}


class OrganisationBody(Told):
    """What can be changed."""

    name = name("as papers show it", "Invented Electric")
    head = remark("lines below the name on papers", "12 Example Road", most=1000)


class OrganisationSchema(Schema):
    """The organisation."""

    id = answered(fields.Integer, "number", 1)
    name = answered(fields.String, "as papers show it", "Invented Electric")
    head = answered(fields.String, "lines below the name on papers", "12 Example Road")
    version = answered(fields.Integer, "counts changes; the ETag", 1)
    created_at = moment("when it was begun")
    changed_at = moment("when it was last changed")


class DeletionBody(Told):
    """That it is meant."""

    name = Text(
        required=True,
        validate=validate.Length(max=200),
        metadata={
            "description": "the organisation's name, letter by letter",
            "example": "Invented Electric",
        },
    )


@operation(organisation, Operation("GET", "", OrganisationSchema))
def show_organisation(ask: Ask) -> Reply:
    """Show the organisation"""
    return _told(find_organisation(ask.session, ask.scope))


@operation(
    organisation,
    Operation("PUT", "", OrganisationSchema, body=OrganisationBody, if_match=True),
    documented=Documented("The organisation as it is now", _EXAMPLE),
)
def replace_organisation(ask: Ask) -> Reply:
    """Change name and head (owners only)"""
    row = find_organisation(ask.session, ask.scope)
    version = ask.condition.version(row.version)
    settings = {**row.settings, "head": ask.body["head"]}
    row = change_organisation(ask.session, ask.scope, ask.body["name"], settings, version)
    note(ask.session, ask.scope, "changed", "organisation", row.id)
    return _told(row)


@operation(
    organisation,
    Operation("POST", "/export", BackgroundTaskSchema, 202),
    documented=Documented("The task that makes the archive"),
)
def export_organisation(ask: Ask) -> Reply:
    """Begin an archive of everything the organisation has (owners only)"""
    task = add_task(ask.session, ask.scope, EXPORT_ORGANISATION, {})
    hand_over(ask.session, task)
    note(ask.session, ask.scope, "asked for an export", "organisation", task.organisation_id)
    return Reply(task, location=f"/api/v1/tasks/{task.id}")


@operation(
    organisation,
    Operation("DELETE", "", None, 204, body=DeletionBody, if_match=True),
    documented=Documented("Nothing of it is left", {"name": "Invented Electric"}),
)
def end_organisation(ask: Ask) -> Reply:
    """Remove the organisation with everything it has, for good (owners only)"""
    if caller().by == "token":
        raise Forbidden("A token cannot remove an organisation; sign in first.")
    row = find_organisation(ask.session, ask.scope)
    ask.condition.version(row.version)
    if ask.body["name"] != row.name:
        message = "is not the organisation's name; write it letter by letter"
        raise InputRefused("request", (Fault("/name", message),))
    delete_organisation(ask.session, ask.scope)
    return Reply()


def _told(row: OrganisationRow) -> Reply:
    told = {each: getattr(row, each) for each in ("id", "name", "version", "created_at")}
    told |= {"changed_at": row.changed_at, "head": row.settings.get("head", "")}
    return Reply(told, row.version)
