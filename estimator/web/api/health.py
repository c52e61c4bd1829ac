"""Whether the service answers, and whether it can work."""

from typing import Any

from flask import Response, current_app
from flask_smorest import Blueprint
from marshmallow import Schema, fields

from estimator import __version__
from estimator.store.errors import DatabaseUnavailable, SchemaMismatch, StoreError
from estimator.store.migrate import schema_state
from estimator.web.api.operation_doc import problem_answer
from estimator.web.app_database import database
from estimator.web.problem import problem

health = Blueprint("health", __name__, description="Whether the service can work")
_AGAIN_S = 5
_CHECKED = "estimator_schema_checked"


class HealthSchema(Schema):
    """State of the service."""

    status = fields.String(required=True, metadata={"example": "ok"})
    version = fields.String(required=True, metadata={"example": __version__})


@health.get("/health")
@health.response(200, HealthSchema)
def show_health() -> dict[str, Any]:
    """Say that the service answers, and which version it is"""
    return {"status": "ok", "version": __version__}


@health.get("/ready")
@health.response(200, HealthSchema)
@health.doc(responses={"503": problem_answer("The database is away or has other tables")})
def show_ready() -> dict[str, Any] | Response:
    """Say whether requests can be served: the database answers and has tables that will do"""
    try:
        if current_app.extensions.get(_CHECKED):
            database().check_connection()
        else:
            _check_tables()
    except StoreError as error:
        again = error.retry_after_s if isinstance(error, DatabaseUnavailable) else _AGAIN_S
        answer = problem(503, str(error))
        answer.headers["Retry-After"] = str(again)
        return answer
    return {"status": "ready", "version": __version__}


def _check_tables() -> None:
    """Raises SchemaMismatch for tables older than this version; newer ones will do.

    While a newer version is rolled out its tables are there before its processes are, so what
    runs must go on with them (see the deployment page).
    """
    state = schema_state(database())
    if state.known and not state.up_to_date:
        raise SchemaMismatch("The database waits for: estimator db upgrade")
    current_app.extensions[_CHECKED] = True
