"""Read body, upload and address of a request strictly: all faults at once, each with its place."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from flask import Request
from marshmallow import ValidationError
from werkzeug.exceptions import UnsupportedMediaType

from estimator.finding import Fault, InputRefused
from estimator.job.faults import capped
from estimator.job.told import Told, flattened
from estimator.stored.plain_objects import plain_objects
from estimator.web.api.conditions import Condition
from estimator.web.api.estimate_request import read_body

# The condition of an operation that needs none.
NOTHING = Condition(None)


@cache
def _schema(of: type[Told]) -> Told:
    return of()


def read_json(schema: type[Told], request: Request, data: bytes) -> Mapping[str, Any]:
    """The body as its schema reads it.

    Raises UnsupportedMediaType, BodyUnreadable where it is not JSON, InputRefused with every
    fault and its JSON pointer.
    """
    if request.mimetype != "application/json":
        raise UnsupportedMediaType("Send the body as application/json.")
    return _loaded(schema, plain_objects(read_body(data)), "")


def read_address(schema: type[Told] | None, request: Request) -> Mapping[str, Any]:
    """What stands behind the question mark of the address. Raises InputRefused."""
    given = request.args.to_dict(flat=False)
    twice = [Fault(f"?{name}", "stands twice; give it once") for name in given
             if len(given[name]) > 1]  # fmt: skip
    if schema is None:
        schema = Told
    if twice:
        raise InputRefused("address", capped(twice))
    return _loaded(schema, {name: values[0] for name, values in given.items()}, "?")


def read_upload(request: Request, kinds: tuple[str, ...]) -> bytes:
    """The bytes of an upload. Raises UnsupportedMediaType, InputRefused for none."""
    if request.mimetype not in kinds:
        raise UnsupportedMediaType(f"Send the file as one of: {', '.join(kinds)}.")
    data = request.get_data()
    if not data:
        raise InputRefused("upload", (Fault("", "is empty; send the bytes of the file"),))
    return data


def _loaded(schema: type[Told], given: Any, where: str) -> Mapping[str, Any]:
    try:
        loaded: Mapping[str, Any] = _schema(schema).load(given)
    except ValidationError as error:
        found = [
            Fault(where + fault.where.removeprefix("/") if where else fault.where, fault.message)
            for fault in flattened(error.messages, "")
        ]
        raise InputRefused("request", capped(found)) from None
    return loaded
