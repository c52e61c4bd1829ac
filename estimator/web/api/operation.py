"""One operation on stored things: who may, what is read, in which transaction, what is answered.

A view is a plain function of an ``Ask`` and the parts of the address. What surrounds it - role,
media type, strict reading of body and address, If-Match, Idempotency-Key, one transaction, the
ETag, the published interface - is here, once.
"""

import json
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import cache, wraps
from typing import Any

from flask import Response, current_app, request
from flask_smorest import Blueprint
from marshmallow import Schema
from sqlalchemy.orm import Session

from estimator.config import Config
from estimator.job.told import Told
from estimator.store.scope import Scope
from estimator.web.api.asked_input import NOTHING, read_address, read_json, read_upload
from estimator.web.api.conditions import Condition, etag, read_condition
from estimator.web.api.operation_doc import Documented, documentation
from estimator.web.api.repeats import keep, read_key, repeated
from estimator.web.app_database import database
from estimator.web.caller import caller

_NO_ORGANISATION = 0
_CHANGES = frozenset({"POST", "PUT", "DELETE"})


@dataclass(frozen=True, slots=True)
class Ask:
    """What a view works with: one transaction, for whom, and what was asked.

    data: of an upload. condition: what If-Match says, for operations that need it.
    """

    session: Session
    scope: Scope
    body: Mapping[str, Any]
    query: Mapping[str, Any]
    data: bytes
    condition: Condition

    @property
    def today(self) -> date:
        """The day where the service is."""
        return self.scope.today

    @property
    def config(self) -> Config:
        """The settings of the service."""
        settings: Config = current_app.config["ESTIMATOR"]
        return settings


@dataclass(frozen=True, slots=True)
class Reply:
    """What a view answers. document: for the answer's schema. version: makes the ETag.

    location: address of what was made. headers: further ones. plain: the document is JSON-ready
    as it is; the schema only tells its shape. status: another one than usual.
    """

    document: Any = None
    version: int | None = None
    location: str = ""
    headers: Mapping[str, str] = field(default_factory=dict)
    plain: bool = False
    status: int | None = None


View = Callable[..., Reply | Response]


@dataclass(frozen=True, slots=True)
class Operation:
    """How one operation is read and answered.

    answer: schema of the answer, None for none. body, query: schemas of what is read.
    uploads: media types of a body of bytes. if_match: it changes something that has a version.
    public: who calls is told by a secret in the address, which the view looks up; there is no
    organisation before that. stores: False for a POST that only computes. writes: True for
    a GET that keeps something all the same. secrets: fields of the answer that are told only once.

    Which role may do it stands in route_roles.toml.
    """

    method: str
    rule: str
    answer: type[Schema] | None
    status: int = 200
    body: type[Told] | None = None
    query: type[Told] | None = None
    uploads: tuple[str, ...] = ()
    if_match: bool = False
    public: bool = False
    stores: bool = True
    writes: bool = False
    secrets: tuple[str, ...] = ()

    @property
    def changes(self) -> bool:
        """Whether it may change what is stored."""
        return self.stores and self.method in _CHANGES

    @property
    def repeatable(self) -> bool:
        """Whether it takes an Idempotency-Key."""
        return self.method == "POST" and self.stores and not self.public

    def run(self, view: View, address: Mapping[str, Any]) -> Response:
        """Answer the present request."""
        scope = Scope(_NO_ORGANISATION, datetime.now(UTC)) if self.public else caller().scope
        data = b""
        body: Mapping[str, Any] = {}
        if self.body is not None:
            data = request.get_data()
            body = read_json(self.body, request, data)
        elif self.uploads:
            data = read_upload(request, self.uploads)
        query = read_address(self.query, request)
        condition = read_condition(request) if self.if_match else NOTHING
        key = read_key(request) if self.repeatable else None
        with self._transaction() as session:
            if key is not None and (kept := repeated(session, scope, key, request, data)):
                return kept
            answer = self._respond(
                view(Ask(session, scope, body, query, data, condition), **address)
            )
            if key is not None:
                keep(session, scope, key, answer, self.secrets)
        if self.method == "GET":
            answer.make_conditional(request)
        return answer

    def _transaction(self) -> AbstractContextManager[Session]:
        return database().writing() if self.changes or self.writes else database().reading()

    def _respond(self, reply: Reply | Response) -> Response:
        if isinstance(reply, Response):
            return reply
        body = "" if self.answer is None else json.dumps(self._document(reply, self.answer))
        answer = Response(body, reply.status or self.status, content_type="application/json")
        if self.answer is None:
            del answer.headers["Content-Type"]
        if reply.version is not None:
            answer.headers["ETag"] = etag(reply.version)
        elif self.method == "GET":
            answer.add_etag()
        if reply.location:
            answer.headers["Location"] = reply.location
        answer.headers.update(reply.headers)
        return answer

    @staticmethod
    def _document(reply: Reply, schema: type[Schema]) -> Any:
        return reply.document if reply.plain else _made(schema).dump(reply.document)


@cache
def _made(schema: type[Schema]) -> Schema:
    # Making one copies all its fields, which takes longer than writing a row.
    return schema()


def operation(
    blueprint: Blueprint,
    how: Operation,
    *,
    documented: Documented | None = None,
) -> Callable[[View], View]:
    """Make a view one operation of a blueprint, and document it. Its docstring is the summary."""

    def decorate(view: View) -> View:
        @wraps(view)
        def run(**address: Any) -> Response:
            return how.run(view, address)

        prefix = blueprint.url_prefix or ""
        doc = documentation(how, prefix, view.__name__, documented or Documented())
        blueprint.route(how.rule, methods=[how.method])(blueprint.doc(**doc)(run))
        return view

    return decorate
