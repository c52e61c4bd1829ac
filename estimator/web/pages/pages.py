"""The start page and the page of the REST interface."""

from typing import Any

from flask import Blueprint, current_app, render_template

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
    return render_template(
        "interface.html",
        info=spec["info"],
        operations=operations,
        schemas=spec["components"]["schemas"],
    )
