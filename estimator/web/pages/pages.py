"""The pages: start with its estimate, comparison, credit, papers and the REST interface."""

from dataclasses import replace
from decimal import Decimal

from flask import Blueprint, Response, abort, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from estimator.documents.every_document import DOCUMENTS, write_document
from estimator.documents.pdf import Sheet
from estimator.finding import InputRefused
from estimator.job.common_loads import load_common_loads
from estimator.job.configurations import load_configurations
from estimator.job.field_words import field_title, spoken, value_words
from estimator.job.limits import SURFACE
from estimator.quotes.states import NotAllowed
from estimator.store.errors import StaleVersion
from estimator.web.answering import file_answer
from estimator.web.pages.answer import empty_route
from estimator.web.pages.credit import credit_pages
from estimator.web.pages.forms import answer_form
from estimator.web.pages.interface import interface_pages
from estimator.web.pages.job_form import CircuitRow, JobForm, read_form
from estimator.web.pages.offers import offer_pages
from estimator.web.pages.price_lists import list_pages
from estimator.web.pages.price_lists_kept import lists_in_force
from estimator.web.pages.quotes import keep_form, quote_pages
from estimator.web.pages.shown import LONGEST_QUERY, shown
from estimator.web.pages.words import load_words

_LONGEST_NAME = 200
# A slider cannot be empty: at its end the hours are not valued at all.
_NOT_COUNTED = ("/comparison/own_hour_value", "0")
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

pages.register_blueprint(credit_pages)
pages.register_blueprint(interface_pages)
pages.register_blueprint(list_pages)
pages.register_blueprint(quote_pages)
pages.register_blueprint(offer_pages)


@pages.app_template_filter("money")
def money(amount: Decimal | str) -> str:
    """An amount with thousands apart."""
    return f"{Decimal(amount):,.2f}"


pages.add_app_template_filter(spoken)
pages.add_app_template_filter(value_words)
pages.add_app_template_filter(field_title)


@pages.get("/words")
def words() -> str:
    """Every word of the trade that is on the pages, explained."""
    return render_template("words.html", words=load_words(), tab="words", query="")


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
    told = {name: text for name, text in form.told.items() if (name, text) != _NOT_COUNTED}
    form = replace(form, told=told)
    answered = answer_form(form)
    return render_template("compare.html", **shown(form, answered, "compare"))


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
        route=empty_route(len(form.rows), form.run, form.inlet),
        **shown(form, answered, "start"),
    )
