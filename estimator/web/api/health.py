"""Whether the service can work."""

from typing import Any

from flask_smorest import Blueprint
from marshmallow import Schema, fields

from estimator import __version__

health = Blueprint("health", __name__, description="Whether the service can work")


class HealthSchema(Schema):
    """State of the service."""

    status = fields.String(required=True, metadata={"example": "ok"})
    version = fields.String(required=True, metadata={"example": __version__})


@health.get("/health")
@health.response(200, HealthSchema)
def show_health() -> dict[str, Any]:
    """Say that the service answers, and which version it is"""
    return {"status": "ok", "version": __version__}
