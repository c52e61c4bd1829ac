"""Pages of one price list: its columns on the way in, its progress, the report on a version."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

from flask import Blueprint, make_response, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from estimator.finding import Fault, InputRefused
from estimator.store.catalogues import find_catalogue, put_in_force
from estimator.store.confirmed_matches import all_confirmed
from estimator.store.errors import NotFound
from estimator.store.tasks import find_task
from estimator.web.app_database import database
from estimator.web.caller import caller
from estimator.web.pages.price_lists_asked import FOR_ALL, AskedColumns, read_asked
from estimator.web.pages.price_lists_columns import (
    FURTHER,
    USUAL,
    corrections,
    show_sheets,
    told_columns,
    values_for_all,
)
from estimator.web.pages.price_lists_job import read_again
from estimator.web.pages.price_lists_place import (
    add_refusals,
    address,
    asked_texts,
    common,
    go_to,
    go_where,
)
from estimator.web.pages.price_lists_send import Looked, look, read_in
from estimator.web.pages.price_lists_shown import (
    MOST_SHOWN,
    find_version_number,
    kept_lists,
    report_on,
)

one_list_pages = Blueprint("price_list", __name__, template_folder="templates")
add_refusals(one_list_pages)

# What messages say of mappings is for the command line; here they are chosen.
_MAPPING = re.compile(r"say (?:so )?in a mapping \(see `[^`]*`\)")
Faults = tuple[Fault, ...]


@one_list_pages.get("/lists/read/<uuid:file_id>")
def show_columns(file_id: UUID) -> AnyResponse:
    """What the columns of a file seem to hold, beside its first rows."""
    looked, faults = _look(file_id, read_asked(request.args))
    return make_response(_columns(looked, faults), 422 if faults else 200)


@one_list_pages.post("/lists/read/<uuid:file_id>")
def read_list(file_id: UUID) -> AnyResponse:
    """Read the file as chosen; or look at its columns again."""
    scope, asked = caller().scope, read_asked(request.form)
    looked, faults = _look(file_id, asked)
    if faults:
        return make_response(_columns(looked, faults), 422)
    chosen = dict(corrections(looked.sheets, looked.asked))
    if asked.moved or "look" in request.form:
        return go_to(f"/lists/read/{file_id}", **chosen)
    try:
        told = told_columns(looked.sheets, looked.asked)
        with database().writing() as session:
            done = read_in(session, scope, looked, told)
    except InputRefused as refused:
        return make_response(_columns(looked, refused.faults), 422)
    return go_where(done, chosen)


@one_list_pages.get("/lists/task/<uuid:task_id>")
def show_progress(task_id: UUID) -> AnyResponse:
    """How far the reading of a long list is; then its report."""
    with database().reading() as session:
        task = find_task(session, caller().scope, task_id)
    if task.state == "done" and task.result and "version" in task.result:
        path = f"/lists/{task.result['catalogue_id']}/{task.result['version']}"
        return go_to(path, already="1" if task.result.get("already") else "", prices="kept")
    begun = task.started_at or task.created_at
    seconds = max(int((datetime.now(UTC) - begun).total_seconds()), 0)
    page = render_template(
        "price_lists_progress.html",
        task=task, seconds=seconds, again=address(request.path, **asked_texts()),
        back=address(f"/lists/read/{task.file_id}", **asked_texts()), **common(),
    )  # fmt: skip
    return make_response(page)


@one_list_pages.get("/lists/<uuid:catalogue_id>")
def show_list(catalogue_id: UUID) -> AnyResponse:
    """The version in force of a list, else the newest one."""
    with database().reading() as session:
        row = find_catalogue(session, caller().scope, catalogue_id)
        number = next(
            (each.number for each in kept_lists(session, caller().scope) if each.id == row.id), None
        )
    return go_to(f"/lists/{catalogue_id}/{number}" if number else "/lists")


@one_list_pages.get("/lists/<uuid:catalogue_id>/<int:number>")
def show_report(catalogue_id: UUID, number: int) -> str:
    """What became of a file: rows to put right, prices out of line, what it changed."""
    scope = caller().scope
    with database().reading() as session:
        version = find_version_number(session, scope, catalogue_id, number)
        if version is None:
            raise NotFound("version", number)
        report = report_on(session, scope, version)
        kept = next(each for each in kept_lists(session, scope) if each.id == catalogue_id)
        confirmed = all_confirmed(session, scope)
        again = read_again(report.read.unread, confirmed) if report.since else 0
    return render_template(
        "price_lists_report.html",
        report=report, kept=kept, again=again, most=MOST_SHOWN,
        already="already" in request.args and request.args["already"] != "", **common(),
    )  # fmt: skip


@one_list_pages.post("/lists/<uuid:catalogue_id>/<int:number>/in-force")
def price_from(catalogue_id: UUID, number: int) -> AnyResponse:
    """Price from this version from now on."""
    scope = caller().scope
    with database().writing() as session:
        version = find_version_number(session, scope, catalogue_id, number)
        if version is None:
            raise NotFound("version", number)
        put_in_force(session, scope, version)
    return go_to(f"/lists/{catalogue_id}/{number}", prices="kept")


def _columns(looked: Looked, faults: Faults) -> str:
    faults = tuple(Fault(one.where, _MAPPING.sub("choose below", one.message)) for one in faults)
    return render_template(
        "price_lists_columns.html",
        looked=looked, sheets=show_sheets(looked.sheets, looked.asked), faults=faults,
        for_all=FOR_ALL, values=values_for_all(looked.sheets, looked.asked),
        usual=USUAL, further=FURTHER, action=address(request.path), **common(),
    )  # fmt: skip


def _look(file_id: UUID, asked: AskedColumns) -> tuple[Looked, Faults]:
    """A file as it was asked to be looked at; with a head row that is none, as it is found."""
    with database().reading() as session:
        try:
            return look(session, caller().scope, file_id, asked), ()
        except InputRefused as refused:
            plain = replace(asked, heads={}, columns={})
            return look(session, caller().scope, file_id, plain), refused.faults
