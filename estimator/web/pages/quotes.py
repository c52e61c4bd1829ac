"""Pages of kept quotes: the list, one quote with its steps, its revisions and their papers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from typing import Any, cast, get_args
from uuid import UUID

from flask import (
    Blueprint,
    Response,
    abort,
    current_app,
    redirect,
    render_template,
    request,
    url_for,
)
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from estimator.config import Config
from estimator.documents.every_document import DOCUMENTS
from estimator.documents.pdf import PDF_KINDS
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.finding import InputRefused
from estimator.quotes.difference import revision_difference
from estimator.quotes.records import ShortcomingKind
from estimator.quotes.snapshot import shortcomings
from estimator.quotes.states import NotAllowed, state_on
from estimator.store.customers import add_customer, find_customer
from estimator.store.errors import NoLongerValid, StaleVersion
from estimator.store.jobs import add_job, save_job
from estimator.store.links import add_link, open_link, revoke_link
from estimator.store.listing import Page, list_rows
from estimator.store.quote_revisions import (
    find_events,
    find_revision,
    find_revisions,
    snapshot_document,
)
from estimator.store.quote_steps import answer_quote
from estimator.store.quotes import find_quote
from estimator.store.scope import Scope
from estimator.store.tables.quotes import CustomerLinkRow, QuoteRevisionRow, QuoteRow
from estimator.stored.estimate import compute
from estimator.stored.means import Wanted
from estimator.stored.plain_objects import plain_objects
from estimator.stored.quote_papers import revision_paper, send
from estimator.stored.quoting import (
    NotTheSame,
    asked_before,
    duplicate_quote,
    make_quote,
    revise_quote,
)
from estimator.web.answering import file_answer
from estimator.web.app_database import database
from estimator.web.caller import caller
from estimator.web.cookies import show_once, shown_once
from estimator.web.pages.forms import document_of
from estimator.web.pages.job_form import JobForm
from estimator.web.pages.kept_form import form_of
from estimator.web.pages.quote_terms import POINTERS, other_percent, term_fields, with_terms

quote_pages = Blueprint("quotes", __name__, template_folder="templates")

_ON_A_PAGE = 50
_LINK_DAYS = 60
_KINDS: tuple[ShortcomingKind, ...] = get_args(ShortcomingKind)


@quote_pages.get("/quotes")
def list_quotes() -> str:
    """The newest quotes first."""
    at = max(request.args.get("from", 0, type=int), 0)
    who = caller()
    page = Page(_ON_A_PAGE, at, ("-year", "-sequence"))
    with database().reading() as session:
        found = list_rows(session, who.scope, QuoteRow, page)
        rows = [
            (row, _customer(session, who.scope, row), _state(row, who.scope)) for row in found.rows
        ]
    return render_template(
        "quotes.html", rows=rows, total=found.total, first=at, step=_ON_A_PAGE, tab="quotes"
    )


def keep_form(form: JobForm, customer: str) -> AnyResponse:
    """Keep the job of a finished form as a new quote, or as the next revision of its quote.

    Raises InputRefused, NotAllowed, StoreError with a message that may be shown.
    """
    scope = caller().scope
    day = scope.today
    document: dict[str, Any] = plain_objects(document_of(form, day))
    with database().writing() as session:
        if form.quote:
            quote_id = _key(form.quote)
            _revise(session, scope, quote_id, document, form.seen, "job changed on the page")
        else:
            quote_id = _add(session, scope, document, customer).id
    return redirect(f"/quotes/{quote_id}", 303)


@quote_pages.get("/quotes/<uuid:quote_id>")
def show_quote(quote_id: UUID) -> str:
    """One quote: what it costs, what can be done with it, how it came to be."""
    return _page(quote_id)


@quote_pages.post("/quotes/<uuid:quote_id>/terms")
def change_terms(quote_id: UUID) -> AnyResponse:
    """Rates and terms as typed, as the next revision."""

    def change(session: Session, scope: Scope) -> None:
        before = _newest(session, scope, find_quote(session, scope, quote_id))
        job = with_terms(snapshot_document(before)["job"], _typed_terms())
        _revise(session, scope, quote_id, job, request.form.get("seen", ""), "terms changed")

    return _changed(quote_id, change)


@quote_pages.post("/quotes/<uuid:quote_id>/preview")
def preview_terms(quote_id: UUID) -> str:
    """The totals at the rates and terms that are typed; nothing is kept."""
    scope = caller().scope
    with database().reading() as session:
        before = _newest(session, scope, find_quote(session, scope, quote_id))
        content = snapshot_document(before)
        job = with_terms(content["job"], _typed_terms())
        try:
            computed = compute(session, scope, job, asked_before(before, newest=True), scope.today)
        except InputRefused as refused:
            return render_template("_quote_sums.html", faults=_told_faults(refused), price=None)
    result = _price_of(computed.estimate)
    return render_template("_quote_sums.html", faults=(), price=result)


@quote_pages.post("/quotes/<uuid:quote_id>/step")
def take_step(quote_id: UUID) -> AnyResponse:
    """Send, answer for the customer, price again or duplicate, as the button says."""
    step = request.form.get("step", "")
    why = request.form.get("why", "").strip()[:500]
    stated = tuple(kind for kind in _KINDS if kind in request.form.getlist("stated"))
    seen = _number(request.form.get("seen", ""))
    gone_to: list[UUID] = []

    def change(session: Session, scope: Scope) -> None:
        day = scope.today
        if step == "send":
            quote = find_quote(session, scope, quote_id)
            newest = _newest(session, scope, quote)
            version = seen
            if newest.state == "draft" and set(stated) - set(newest.stated):
                # What the document states is part of the revision, which never changes.
                revise_quote(session, scope, quote_id, seen, day, "sent with what it states",
                             stated=stated)  # fmt: skip
                version = None
            send(session, scope, quote_id, day, version, why)
        elif step in ("accepted", "declined"):
            answer_quote(session, scope, quote_id, "accepted" if step == "accepted" else "declined",
                         day, seen, why=why)  # fmt: skip
        elif step == "price again":
            revise_quote(session, scope, quote_id, seen, day, why or "priced again")
        elif step == "duplicate":
            gone_to.append(duplicate_quote(session, scope, quote_id, None, day).id)
        else:
            abort(400, "There is no such step.")

    return _changed(quote_id, change, gone_to)


@quote_pages.post("/quotes/<uuid:quote_id>/links")
def make_link(quote_id: UUID) -> AnyResponse:
    """A new link for the customer; its address is shown once, on the next page."""
    scope = caller().scope
    last = datetime.combine(scope.today + timedelta(days=_LINK_DAYS), time.max, UTC)
    with database().writing() as session:
        _, secret = add_link(session, scope, quote_id, last)
    return show_once(cast(Response, redirect(f"/quotes/{quote_id}", 303)), secret.text)


@quote_pages.post("/quotes/<uuid:quote_id>/links/<uuid:link_id>/revoke")
def end_link(quote_id: UUID, link_id: UUID) -> AnyResponse:
    """Make a link useless."""

    def change(session: Session, scope: Scope) -> None:
        revoke_link(session, scope, quote_id, link_id)

    return _changed(quote_id, change)


@quote_pages.get("/quotes/<uuid:quote_id>/changes")
def show_changes(quote_id: UUID) -> str:
    """What one revision changes against another."""
    scope = caller().scope
    with database().reading() as session:
        quote = find_quote(session, scope, quote_id)
        newest = quote.newest
        after = request.args.get("to", newest, type=int)
        before = request.args.get("from", max(after - 1, 1), type=int)
        rows = [find_revision(session, scope, quote_id, each) for each in (before, after)]
        difference = revision_difference(*(snapshot_document(row) for row in rows))
    return render_template(
        "quote_changes.html",
        quote=quote,
        before=rows[0],
        after=rows[1],
        numbers=range(1, newest + 1),
        difference=difference,
        tab="quotes",
    )


@quote_pages.get("/quotes/<uuid:quote_id>/<int:number>/papers/<name>")
def quote_paper(quote_id: UUID, number: int, name: str) -> Response:
    """A document of a revision, exactly as it was computed."""
    media = DOCUMENTS.get(name)
    if media is None:
        abort(404)
    scope = caller().scope
    with database().reading() as session:
        quote = find_quote(session, scope, quote_id)
        revision = find_revision(session, scope, quote_id, number)
        try:
            data = revision_paper(session, scope, quote, revision, name)
        except NotTheSame as error:
            abort(409, str(error))
    return file_answer(data, media, name)


@dataclass(frozen=True, slots=True)
class _Refused:
    """Why a step was not taken."""

    message: str
    details: tuple[str, ...] = ()


def _changed(
    quote_id: UUID, change: Callable[[Session, Scope], None], gone_to: list[UUID] | None = None
) -> AnyResponse:
    try:
        with database().writing() as session:
            change(session, caller().scope)
    except InputRefused as refused:
        return Response(
            _page(quote_id, _Refused("This cannot be computed.", _told_faults(refused))), 422
        )
    except (NotAllowed, NotTheSame) as error:
        return Response(_page(quote_id, _Refused(str(error))), 409)
    except StaleVersion:
        words = (
            "Somebody changed this quote since the page was opened. It is shown as it is now; "
            "look, then do it again."
        )
        return Response(_page(quote_id, _Refused(words)), 412)
    return redirect(f"/quotes/{(gone_to or [quote_id])[0]}", 303)


def _just_made(session: Session, scope: Scope, quote_id: UUID) -> str:
    """The address of a customer's link that was made a moment ago; empty for none."""
    secret = shown_once("q_")
    try:
        opened = open_link(session, secret, scope.at) if secret else None
    except NoLongerValid:
        opened = None
    if opened is None or opened.quote_id != quote_id:
        return ""
    settings: Config = current_app.config["ESTIMATOR"]
    # By the Host of the request in local mode only, where it is this machine.
    base = settings.public_url if settings.mode == "shared" else request.host_url
    return base.rstrip("/") + url_for("pages.offers.show_offer", secret=secret)


def _page(quote_id: UUID, refused: _Refused | None = None) -> str:
    scope = caller().scope
    with database().reading() as session:
        quote = find_quote(session, scope, quote_id)
        newest = _newest(session, scope, quote)
        content = snapshot_document(newest)
        form = form_of(content["job"], scope.today)
        fields = term_fields(content["job"], content["result"])
        typed = _typed_terms() if refused else {}
        links = list_rows(session, scope, CustomerLinkRow, Page(100, 0, ("-created_at",)),
                          CustomerLinkRow.quote_id == quote_id).rows  # fmt: skip
        return render_template(
            "quote.html",
            quote=quote,
            newest=newest,
            state=_state(quote, scope),
            customer=_customer(session, scope, quote),
            revisions=list(reversed(find_revisions(session, scope, quote_id))),
            events=list(reversed(find_events(session, scope, quote_id))),
            links=links,
            now=scope.at,
            result=content["result"],
            price=content["result"]["price"],
            lists=content["basis"]["catalogues"],
            wanting=list(shortcomings(content["result"])),
            stated=newest.stated,
            fields=[replace(one, value=typed.get(one.pointer, one.value)) for one in fields],
            both=other_percent(fields),
            change=replace(form, quote=str(quote.id), seen=str(quote.version)).query
            if form
            else "",
            papers=PDF_KINDS,
            refused=refused,
            link=_just_made(session, scope, quote_id),
            tab="quotes",
        )


def _add(session: Session, scope: Scope, document: dict[str, Any], customer: str) -> QuoteRow:
    customer_id = add_customer(session, scope, {"name": customer}).id if customer else None
    name = str(document.get("name") or customer or "House backup")
    job = add_job(session, scope, name, document, customer_id=customer_id)
    return make_quote(session, scope, name, job.id, Wanted(), scope.today)


def _revise(
    session: Session, scope: Scope, quote_id: UUID, document: Mapping[str, Any], seen: str, why: str
) -> None:
    quote = find_quote(session, scope, quote_id)
    if quote.job_id is None:
        raise NotAllowed("The job of this quote was removed; duplicate the quote instead.")
    save_job(session, scope, quote.job_id, document, None, why)
    revise_quote(session, scope, quote_id, _number(seen), scope.today, why)


def _newest(session: Session, scope: Scope, quote: QuoteRow) -> QuoteRevisionRow:
    return find_revision(session, scope, quote.id, quote.newest)


def _customer(session: Session, scope: Scope, quote: QuoteRow) -> str:
    if quote.customer_id is None:
        return ""
    return find_customer(session, scope, quote.customer_id).name


def _state(quote: QuoteRow, scope: Scope) -> str:
    return state_on(quote.state, quote.valid_until, scope.today)


def _price_of(estimate: FullEstimate) -> Mapping[str, Any]:
    price: Mapping[str, Any] = result_document(estimate)["price"]
    return price


def _typed_terms() -> dict[str, str]:
    return {name: text for name, text in request.form.items() if name in POINTERS}


def _told_faults(refused: InputRefused) -> tuple[str, ...]:
    return tuple(
        f"{fault.where.removeprefix('/description')} {fault.message}" for fault in refused.faults
    )


def _key(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        abort(404)


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None
