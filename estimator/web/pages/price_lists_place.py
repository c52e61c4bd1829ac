"""What all pages of price lists share: the job in the address, refusals, where to go next."""

from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from estimator.store.errors import Conflict, NotFound, StaleVersion, StoreError
from estimator.web.caller import caller
from estimator.web.pages.job_form import JobForm, read_form
from estimator.web.pages.price_lists_send import ReadIn
from estimator.web.store_problems import status_of


def add_refusals(pages: Blueprint) -> None:
    """Tell on a page what the store refuses a person."""
    for error in (NotFound, Conflict, StaleVersion):
        pages.register_error_handler(error, _stopped)


def _stopped(error: StoreError) -> AnyResponse:
    status, _ = status_of(error)
    page = render_template("price_lists_stopped.html", words=str(error), **common())
    return make_response(page, status)


def common() -> dict[str, Any]:
    """What every template of these pages is given."""
    form = read_form(request.args)
    return {
        "form": form,
        "query": form.query,
        "kept_query": priced_from_lists(form).query,
        "tab": "lists",
        "may_change": caller().may("estimator"),
    }


def priced_from_lists(form: JobForm) -> JobForm:
    """The job of a form, priced from the lists in force."""
    return replace(form, prices="kept")


def asked_texts() -> dict[str, str]:
    """What the address says of the columns of a file."""
    own = ("supplier", "name", "column.", "head.", "all.")
    return {name: text for name, text in request.args.items() if name.startswith(own)}


def address(path: str, prices: str = "", **more: str) -> str:
    """An address of ours that carries the job along. prices: "kept" from here on."""
    form = read_form(request.args)
    query = (priced_from_lists(form) if prices else form).query
    # A column without a word is one that is passed over; other blanks say nothing.
    own = urlencode({name: text for name, text in more.items() if text or "." in name})
    return path + "?" + "&".join(each for each in (own, query) if each)


def go_to(path: str, prices: str = "", **more: str) -> Response:
    """The answer that leads there."""
    return make_response(redirect(address(path, prices, **more).rstrip("?"), 303))


def go_where(done: ReadIn, asked: dict[str, str]) -> Response:
    """To the report on a list that was read, or to the task that reads it."""
    if done.task_id is not None:
        return go_to(f"/lists/task/{done.task_id}", "", **asked)
    told = {"already": "1"} if done.already else {}
    return go_to(f"/lists/{done.catalogue_id}/{done.number}", "kept", **told)
