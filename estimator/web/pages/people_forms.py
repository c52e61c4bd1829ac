"""What the pages for people and tokens have in common: who may, and faults beside fields."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from flask import abort, request
from marshmallow import ValidationError

from estimator.finding import Fault, InputRefused
from estimator.job.told import Told, flattened
from estimator.store.errors import Conflict, NotFound, StaleVersion
from estimator.store.tables.organisations import Role
from estimator.web.caller import caller

# From much to little, with what each may do.
ROLES: Mapping[Role, str] = {
    "owner": "everything, people too",
    "estimator": "makes and changes what is kept",
    "reader": "looks, changes nothing",
}
_STATUSES: Mapping[type[Exception], int] = {
    InputRefused: 422, Conflict: 409, StaleVersion: 412, NotFound: 404,
}  # fmt: skip
REFUSALS: tuple[type[Exception], ...] = tuple(_STATUSES)
_CHANGED = "Somebody changed this since the page was opened. Look at it as it is now, then go on."


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a form was not taken. faults: messages by the field or row that they stand beside."""

    status: int = 200
    faults: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def at(self, name: str) -> tuple[str, ...]:
        """What is wrong with a field or row."""
        return self.faults.get(name, ())


def refusal(error: Exception, row: str = "") -> Refused:
    """A refusal beside the fields that it names, or else beside the row."""
    status = next(code for kind, code in _STATUSES.items() if isinstance(error, kind))
    if isinstance(error, StaleVersion):
        return Refused(status, {row: (_CHANGED,)})
    if not isinstance(error, InputRefused):
        return Refused(status, {row: (str(error),)})
    by_field: dict[str, tuple[str, ...]] = {}
    for fault in error.faults:
        name = fault.where.removeprefix("/")
        by_field[name] = (*by_field.get(name, ()), fault.message)
    return Refused(status, by_field)


def browsers_only() -> None:
    """Programs have the REST interface; these pages are for whoever is signed in."""
    if caller().by != "session":
        abort(404, "This page is for a browser that is signed in; see /api/v1 for programs.")


def read_form(schema: type[Told], *, also: Mapping[str, str] | None = None) -> Mapping[str, Any]:
    """The fields of a schema from the form; those left empty count as missing.

    also: faults that the schema cannot know of. Raises InputRefused with all of them.
    """
    made = schema()
    # A number left empty is not the usual number: it was shown, and somebody took it out.
    typed = {
        name: request.form[name]
        for name in made.load_fields
        if name in request.form and (request.form[name].strip() or name == "days")
    }
    faults = [Fault(f"/{name}", message) for name, message in (also or {}).items()]
    try:
        loaded: Mapping[str, Any] = made.load(typed)
    except ValidationError as error:
        faults = [*flattened(error.messages, ""), *faults]
    if faults:
        raise InputRefused("form", tuple(faults))
    return loaded


def version(text: str) -> int:
    """The version that the page showed; one that no row has for what is no number."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else -1
