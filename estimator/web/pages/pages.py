"""The pages: start with its estimate, comparison, credit, papers and the REST interface."""

import json
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from estimator.documents.credit_memo import credit_memo
from estimator.documents.credit_years import year_spans
from estimator.documents.every_document import DOCUMENTS, PICTURES, write_document
from estimator.documents.pdf import Sheet
from estimator.finding import InputRefused
from estimator.job.common_loads import load_common_loads
from estimator.job.configurations import load_configurations
from estimator.job.limits import SURFACE
from estimator.quotes.states import NotAllowed
from estimator.store.errors import StaleVersion
from estimator.web.answering import file_answer
from estimator.web.pages.answer import percent, show_estimate
from estimator.web.pages.forms import Answered, answer_form
from estimator.web.pages.job_form import CircuitRow, JobForm, read_form
from estimator.web.pages.offers import offer_pages
from estimator.web.pages.price_lists import list_pages
from estimator.web.pages.price_lists_kept import lists_in_force
from estimator.web.pages.quotes import keep_form, quote_pages

_REFERENCE = re.compile(r'"#/components/schemas/([^"]+)"')
# Servers refuse addresses that are much longer.
LONGEST_QUERY = 3500
_LONGEST_NAME = 200
_CHANGED_MEANWHILE = (
    "Somebody changed this quote since it was opened here. Nothing was kept, and nothing of yours "
    "is lost: it stands below. Open the quote in another window, look what changed, then press "
    "Change the job there and do it again."
)

pages = Blueprint(
    "pages",
    __name__,
    template_folder="templates",
    static_folder="static",
    static_url_path="/static",
)

pages.register_blueprint(list_pages)
pages.register_blueprint(quote_pages)
pages.register_blueprint(offer_pages)


@pages.app_template_filter("money")
def money(amount: Decimal | str) -> str:
    """An amount with thousands apart."""
    return f"{Decimal(amount):,.2f}"


@pages.get("/")
def start() -> str:
    """The four questions, and the estimate as soon as they are answered."""
    form = read_form(request.args)
    if not form.prices and lists_in_force():
        form = replace(form, prices="kept")
    return _start(form, int("more" in request.args))


@pages.post("/")
def ask() -> AnyResponse:
    """What was typed, turned into an address that can be reloaded and kept."""
    form = read_form(request.form)
    more = "more" in request.form
    if "HX-Request" in request.headers:
        page = Response(_start(form, int(more)))
        if len(form.query) <= LONGEST_QUERY:
            page.headers["HX-Replace-Url"] = f"/?{form.query}"
        return page
    if len(form.query) > LONGEST_QUERY:
        return Response(_start(form, int(more)))
    return redirect(f"/?{form.query}{'&more=1' if more else ''}#answer", 303)


@pages.post("/quotes")
def keep() -> AnyResponse:
    """What was typed, kept as a quote; with what is wrong where it cannot be."""
    form = read_form(request.form)
    answered = answer_form(form)
    if answered.estimate is None:
        return Response(_start(form, 0), 422)
    try:
        return keep_form(form, request.form.get("customer", "").strip()[:_LONGEST_NAME])
    except InputRefused as refused:
        words = "; ".join(f"{one.where} {one.message}" for one in refused.faults)
    except NotAllowed as error:
        words = str(error)
    except StaleVersion:
        words = _CHANGED_MEANWHILE
    return Response(_start(form, 0, words), 409)


@pages.get("/compare")
def compare() -> str:
    """The ways to get the job done, side by side."""
    form = read_form(request.args)
    answered = answer_form(form)
    return render_template("compare.html", **_common(form, answered, "compare"))


@pages.get("/credit")
def credit() -> str:
    """What the tax credits give, on what authority, and what is open."""
    form = read_form(request.args)
    answered = answer_form(form, by_year=True)
    memo = credit_memo(answered.estimate) if answered.estimate else None
    spans = tuple(year_spans(memo.years)) if memo else ()
    common = _common(form, answered, "credit")
    return render_template("credit.html", memo=memo, spans=spans, **common)


@pages.get("/papers/<name>")
def paper(name: str) -> Response:
    """A document of the estimate in the address."""
    form = read_form(request.args)
    media = DOCUMENTS.get(name)
    if media is None:
        abort(404)
    try:
        estimate = answer_form(form).estimate
    except InputRefused:
        estimate = None
    if estimate is None:
        abort(404, "The address holds no finished job. Go back to the start page and fill it in.")
    return file_answer(write_document(name, estimate, Sheet()), media, name)


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
        tab="interface",
        query="",
    )


def _start(form: JobForm, more: int, refused: str = "") -> str:
    answered = answer_form(form)
    rows = (*form.rows, *(CircuitRow() for _ in range(max(more, not form.rows))))
    return render_template(
        "start.html",
        rows=rows,
        surfaces=SURFACE.choices,
        inlets=[one for one in load_configurations().values() if one.accepted_as_inlet],
        loads=load_common_loads(),
        refused=refused,
        **_common(form, answered, "start"),
    )


def _common(form: JobForm, answered: Answered, tab: str) -> dict[str, Any]:
    shown = None
    if answered.estimate is not None:
        shown = show_estimate(answered.estimate, dict(form.told))
    return {
        "form": form,
        "faults": answered.faults,
        "estimate": answered.estimate,
        "answer": shown,
        "query": form.query if len(form.query) <= LONGEST_QUERY else "",
        "tab": tab,
        "percent": percent,
        "pictures": PICTURES,
    }


def _reached(operations: object, schemas: dict[str, Any]) -> list[str]:
    """Names of the schemas that operations use, in the order in which a reader meets them."""
    names = list(dict.fromkeys(_REFERENCE.findall(json.dumps(operations))))
    for name in names:  # grows while it is walked
        names += [one for one in _REFERENCE.findall(json.dumps(schemas[name])) if one not in names]
    return list(dict.fromkeys(names))
