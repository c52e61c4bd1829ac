"""The start page and the page of the REST interface."""

import json
import re
from typing import Any

from flask import Blueprint, current_app, render_template

_REFERENCE = re.compile(r'"#/components/schemas/([^"]+)"')

pages = Blueprint(
    "pages",
    __name__,
    template_folder="templates",
    static_folder="static",
    static_url_path="/static",
)


@pages.get("/")
def start() -> str:
    """What this service is and where to go on."""
    return render_template("start.html")


@pages.get("/api/")
def interface() -> str:
    """The REST interface, rendered from the OpenAPI document."""
    spec: dict[str, Any] = current_app.extensions["estimator_spec"].to_dict()
    operations = [
        {"path": path, "method": method.upper(), **operation}
        for path, item in spec["paths"].items()
        for method, operation in item.items()
        if isinstance(operation, dict)
    ]
    schemas = spec["components"]["schemas"]
    return render_template(
        "interface.html",
        info=spec["info"],
        operations=operations,
        schemas={name: schemas[name] for name in _reached(operations, schemas)},
    )


def _reached(operations: object, schemas: dict[str, Any]) -> list[str]:
    """Names of the schemas that operations use, in the order in which a reader meets them."""
    names = list(dict.fromkeys(_REFERENCE.findall(json.dumps(operations))))
    for name in names:  # grows while it is walked
        names += [one for one in _REFERENCE.findall(json.dumps(schemas[name])) if one not in names]
    return list(dict.fromkeys(names))
