"""The REST interface for people, rendered from the OpenAPI document: one page a resource."""

import json
import re
from typing import Any

from flask import Blueprint, abort, current_app, render_template

_REFERENCE = re.compile(r'"#/components/schemas/([^"]+)"')

interface_pages = Blueprint("interface", __name__, template_folder="templates")


@interface_pages.get("/api/")
def overview() -> str:
    """Every operation in a line, by resource."""
    spec = _document()
    return _page("interface.html", spec, resources=_by_tag(spec))


@interface_pages.get("/api/resources/<tag>")
def resource(tag: str) -> str:
    """The operations of one resource, and every field of their bodies."""
    spec = _document()
    operations = _by_tag(spec).get(tag)
    if operations is None:
        abort(404)
    schemas = spec["components"]["schemas"]
    reached = {name: schemas[name] for name in _reached(operations, schemas)}
    return _page("interface_resource.html", spec, tag=tag, operations=operations, schemas=reached)


def _document() -> dict[str, Any]:
    found: dict[str, Any] = current_app.extensions["estimator_spec"].to_dict()
    return found


def _page(template: str, spec: dict[str, Any], **more: object) -> str:
    about = {one["name"]: one.get("description", "") for one in spec.get("tags", ())}
    return render_template(
        template, info=spec["info"], about=about, tab="interface", query="", **more
    )


def _by_tag(spec: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for path, item in spec["paths"].items():
        for method, operation in item.items():
            if isinstance(operation, dict):
                told = {"path": path, "method": method.upper(), **operation}
                found.setdefault((operation.get("tags") or ["service"])[0], []).append(told)
    return found


def _reached(operations: object, schemas: dict[str, Any]) -> list[str]:
    """Names of the schemas that operations use, in the order in which a reader meets them."""
    names = list(dict.fromkeys(_REFERENCE.findall(json.dumps(operations))))
    for name in names:  # grows while it is walked
        names += [one for one in _REFERENCE.findall(json.dumps(schemas[name])) if one not in names]
    return list(dict.fromkeys(names))
