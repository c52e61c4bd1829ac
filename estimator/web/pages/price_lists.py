"""Pages of price lists: those that are kept, and what they leave open for the job at hand."""

from typing import Any
from uuid import UUID

from flask import Blueprint, abort, make_response, render_template, request
from sqlalchemy.orm import Session
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response as AnyResponse

from estimator.finding import Fault, InputRefused
from estimator.store.catalogues import change_catalogue, find_catalogue
from estimator.store.confirmed_matches import all_confirmed, confirm_match, forget_match
from estimator.store.errors import StoreError
from estimator.store.repricing import outdated_quotes
from estimator.store.scope import Scope
from estimator.store.suppliers import find_supplier, supplier_of
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.takeoff.part_kinds import UnknownPart, load_part_kinds
from estimator.tasks.reprice import ask_reprice
from estimator.web.app_database import database
from estimator.web.caller import caller
from estimator.web.pages.forms import answer_form
from estimator.web.pages.job_form import JobForm, read_form
from estimator.web.pages.price_lists_job import JobNeeds, needs_of, read_again
from estimator.web.pages.price_lists_place import (
    add_refusals,
    common,
    go_to,
    go_where,
    priced_from_lists,
)
from estimator.web.pages.price_lists_read import one_list_pages
from estimator.web.pages.price_lists_send import keep_sent, read_file_again
from estimator.web.pages.price_lists_shown import find_version_number, kept_lists, unread_in_force

list_pages = Blueprint("price_lists", __name__, template_folder="templates")
list_pages.register_blueprint(one_list_pages)
add_refusals(list_pages)

_TOO_LARGE = "the file is too large to be sent at once. Split it"
_LONGEST = 200
Faults = tuple[Fault, ...]


@list_pages.get("/lists")
def show_lists() -> str:
    """The kept lists, and what they leave open for the job in the address."""
    return _lists()


@list_pages.post("/lists")
def send_list() -> AnyResponse:
    """A file, kept until its columns are settled."""
    file = request.files.get("file")
    try:
        with database().writing() as session:
            file_id = keep_sent(
                session, caller().scope,
                (file.filename or "") if file else "", file.read() if file else b"",
            )  # fmt: skip
    except InputRefused as refused:
        return make_response(_lists(refused.faults), 422)
    told = {"supplier": _typed("supplier"), "name": _typed("name")}
    return go_to(f"/lists/read/{file_id}", **told)


@list_pages.post("/lists/<uuid:catalogue_id>/again")
def read_list_again(catalogue_id: UUID) -> AnyResponse:
    """Read the file of the version in force again, with what was confirmed since."""
    scope = caller().scope
    with database().writing() as session:
        version = _in_force(session, scope, catalogue_id)
        done = version and read_file_again(session, scope, catalogue_id, version)
    return go_where(done, {}) if done else go_to("/lists", gone="1")


@list_pages.post("/lists/<uuid:catalogue_id>/reprice")
def reprice_quotes(catalogue_id: UUID) -> AnyResponse:
    """Price the open quotes anew that have older prices of this list."""
    scope = caller().scope
    with database().writing() as session:
        version = _in_force(session, scope, catalogue_id)
        task = ask_reprice(session, scope, version) if version else None
    return go_to("/lists", repricing=str(task.id) if task else "")


@list_pages.post("/lists/<uuid:catalogue_id>/archive")
def archive_list(catalogue_id: UUID) -> AnyResponse:
    """Put a list aside, or take it back; nothing is priced from one that was put aside."""
    scope = caller().scope
    seen = request.form.get("seen", "")[:9]
    with database().writing() as session:
        row = find_catalogue(session, scope, catalogue_id)
        change_catalogue(
            session, scope, catalogue_id, int(seen) if seen.isascii() and seen.isdigit() else None,
            name=row.name, supplier_id=row.supplier_id,
            archived=request.form.get("archived") == "yes",
        )  # fmt: skip
    return go_to("/lists")


@list_pages.post("/lists/matches")
def confirm() -> AnyResponse:
    """Say that an item is a part, once; or take it back."""
    scope, asked = caller().scope, request.form
    supplier, number = _typed("supplier"), _typed("number")
    if not (supplier and number):
        abort(400, "Say which item of which supplier.")
    with database().writing() as session:
        owner = supplier_of(session, scope, supplier)
        if "back" in asked:
            forget_match(session, scope, owner.id, number)
            return go_to("/lists")
        told = {
            name.removeprefix("is."): text for name, text in asked.items() if name.startswith("is.")
        }
        try:
            attributes = load_part_kinds().identify(asked.get("kind", ""), told)
        except UnknownPart as error:
            abort(400, str(error))
        confirm_match(session, scope, supplier, number, asked.get("kind", ""), attributes)
    return go_to("/lists", prices="kept", said=f"{owner.id}/{number}")


@list_pages.errorhandler(RequestEntityTooLarge)
def _too_large(_: RequestEntityTooLarge) -> AnyResponse:
    return make_response(_lists((Fault("", _TOO_LARGE),), sent=False), 413)


def _in_force(session: Session, scope: Scope, catalogue_id: UUID) -> CatalogueVersionRow | None:
    """The version of a list in force; None where there is no such list, or none of it was read."""
    kept = next((each for each in kept_lists(session, scope) if each.id == catalogue_id), None)
    if kept is None or not kept.number:
        return None
    return find_version_number(session, scope, catalogue_id, kept.number)


def _typed(name: str) -> str:
    text = request.form.get(name, "")[:_LONGEST]
    return "".join(letter for letter in text if letter.isprintable()).strip()


def _lists(faults: Faults = (), *, sent: bool = True) -> str:
    who, form = caller(), read_form(request.args)
    with database().reading() as session:
        kept = kept_lists(session, who.scope)
        unread = unread_in_force(session, who.scope)
        confirmed = all_confirmed(session, who.scope)
        said = _said(session, who.scope)
        outdated = {
            each.id: count
            for each in kept
            if each.number and (count := len(outdated_quotes(session, who.scope, each.id)))
        }
    needs, job_faults = _needs(form, unread, confirmed)
    return render_template(
        "price_lists.html",
        kept=[each for each in kept if not each.archived],
        aside=[each for each in kept if each.archived],
        again={
            key: count for key, rows in unread.items() if (count := read_again(rows, confirmed))
        },
        needs=needs, job_faults=job_faults, said=said, faults=faults, outdated=outdated,
        repricing="repricing" in request.args,
        typed=request.form if sent and request.method == "POST" else {},
        wanted=request.args, gone="gone" in request.args, **common(),
    )  # fmt: skip


def _needs(form: JobForm, unread: Any, confirmed: Any) -> tuple[JobNeeds | None, bool]:
    if not form.asked:
        return None, False
    answered = answer_form(priced_from_lists(form))
    if answered.estimate is None:
        return None, True
    rows = [row for each in unread.values() for row in each]
    return needs_of(answered.estimate, rows, confirmed), False


def _said(session: Any, scope: Any) -> tuple[str, str] | None:
    """Supplier and number of the item that was confirmed just now."""
    supplier_id, _, number = request.args.get("said", "").partition("/")
    try:
        return find_supplier(session, scope, UUID(supplier_id)).name, number
    except (ValueError, StoreError):
        return None
