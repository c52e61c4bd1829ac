"""The customer's page: one quote behind an unguessable address, to read, accept or decline."""

from datetime import UTC, datetime

from flask import Blueprint, Response, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from estimator.documents.every_document import PDF
from estimator.quotes.states import NotAllowed, state_on
from estimator.store.errors import NoLongerValid
from estimator.store.links import OpenedLink, link_seen, open_link
from estimator.store.organisations import LOCAL_NAME, find_organisation
from estimator.store.quote_revisions import snapshot_document
from estimator.store.quote_steps import answer_quote
from estimator.store.quotes import find_quote
from estimator.stored.quote_papers import QUOTE, customers_revision, customers_view, revision_paper
from estimator.stored.quoting import NotTheSame
from estimator.web.answering import file_answer
from estimator.web.app_database import database

offer_pages = Blueprint("offers", __name__, template_folder="templates")


@offer_pages.get("/offer/<secret>")
def show_offer(secret: str) -> AnyResponse:
    """The revision that was sent last, as the customer may see it."""
    try:
        with database().writing() as session:
            opened = open_link(session, secret, datetime.now(UTC))
            link_seen(session, opened)
    except NoLongerValid as error:
        return Response(render_template("offer_gone.html", message=str(error)), 404)
    return Response(_page(secret, opened))


@offer_pages.post("/offer/<secret>")
def answer_offer(secret: str) -> AnyResponse:
    """The customer's yes or no."""
    answer = request.form.get("answer", "")
    name = request.form.get("name", "").strip()[:200]
    why = request.form.get("why", "").strip()[:500]
    try:
        with database().reading() as session:
            opened = open_link(session, secret, datetime.now(UTC))
        if answer not in ("accepted", "declined") or (answer == "accepted" and not name):
            words = "Write your name beside it: it stands for your signature."
            return Response(_page(secret, opened, words), 422)
        with database().writing() as session:
            answer_quote(
                session, opened.scope, opened.quote_id,
                "accepted" if answer == "accepted" else "declined",
                opened.scope.today, None,
                revision=request.form.get("revision", type=int),
                why=": ".join(each for each in (name, why) if each), link_id=opened.link_id,
            )  # fmt: skip
    except NoLongerValid as error:
        return Response(render_template("offer_gone.html", message=str(error)), 404)
    except NotAllowed as error:
        return Response(_page(secret, opened, str(error)), 409)
    return Response(status=303, headers={"Location": f"/offer/{secret}"})


@offer_pages.get("/offer/<secret>/quote.pdf")
def offer_paper(secret: str) -> AnyResponse:
    """The quote as a paper."""
    try:
        with database().reading() as session:
            opened = open_link(session, secret, datetime.now(UTC))
            revision = customers_revision(session, opened.scope, opened.quote_id)
            if revision is None:
                raise NoLongerValid("There is nothing to show yet.")
            quote = find_quote(session, opened.scope, opened.quote_id)
            paper = revision_paper(session, opened.scope, quote, revision, QUOTE)
    except (NoLongerValid, NotTheSame):
        words = "The paper cannot be made any more. Ask who sent it for a new one."
        return Response(render_template("offer_gone.html", message=words), 404)
    return file_answer(paper, PDF, QUOTE)


def _page(secret: str, opened: OpenedLink, refused: str = "") -> str:
    scope = opened.scope
    with database().reading() as session:
        quote = find_quote(session, scope, opened.quote_id)
        revision = customers_revision(session, scope, opened.quote_id)
        if revision is None:
            return render_template("offer_gone.html", message="There is nothing to show yet.")
        snapshot = snapshot_document(revision)
        result = snapshot["result"]
        office = find_organisation(session, scope).name
        return render_template(
            "offer.html",
            secret=secret,
            office="" if office == LOCAL_NAME else office,
            quote=quote,
            revision=revision,
            state=state_on(revision.state, revision.valid_until, scope.today),
            price=result["price"],
            circuits=result["estimate"]["circuits"],
            errors=[one for one in result["estimate"]["findings"] if one["severity"] == "error"],
            cautions=result["cautions"],
            groups=customers_view(snapshot),
            refused=refused,
        )
