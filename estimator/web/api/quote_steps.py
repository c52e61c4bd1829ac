"""Steps of a quote: sent, accepted, declined, as the office tells them."""

from uuid import UUID

from flask_smorest import Blueprint
from werkzeug.exceptions import Conflict

from estimator.store.quote_steps import Answer, answer_quote
from estimator.store.quotes import find_quote
from estimator.stored import quote_papers
from estimator.stored.quoting import NotTheSame
from estimator.web.api.operation import Ask, Operation, Reply, operation
from estimator.web.api.operation_doc import Documented
from estimator.web.api.quote_schemas import STEP_EXAMPLE, QuoteRowSchema, StepBody
from estimator.web.api.quotes import told

quote_steps = Blueprint(
    "quote steps",
    __name__,
    url_prefix="/api/v1/quotes/<uuid:quote_id>",
    description="A quote is sent, then accepted or declined; expired after its last day",
)
_NOT_NOW = {409: "The quote in its state, or with its shortcomings, cannot take this step"}


@operation(
    quote_steps,
    Operation("POST", "/send", QuoteRowSchema, body=StepBody, if_match=True),
    documented=Documented("The quote, sent", STEP_EXAMPLE, problems=_NOT_NOW),
)
def send(ask: Ask, quote_id: UUID) -> Reply:
    """Send the newest revision; what was sent before it is superseded"""
    row = find_quote(ask.session, ask.scope, quote_id)
    version = ask.condition.version(row.version)
    try:
        row = quote_papers.send(
            ask.session, ask.scope, quote_id, ask.today, version, ask.body["note"]
        )
    except NotTheSame as error:
        raise Conflict(str(error)) from error
    return told(ask, row)


@operation(
    quote_steps,
    Operation("POST", "/accept", QuoteRowSchema, body=StepBody, if_match=True),
    documented=Documented("The quote, accepted", STEP_EXAMPLE, problems=_NOT_NOW),
)
def accept(ask: Ask, quote_id: UUID) -> Reply:
    """Keep that the customer accepted the revision that was sent"""
    return _answered(ask, quote_id, "accepted")


@operation(
    quote_steps,
    Operation("POST", "/decline", QuoteRowSchema, body=StepBody, if_match=True),
    documented=Documented("The quote, declined", STEP_EXAMPLE, problems=_NOT_NOW),
)
def decline(ask: Ask, quote_id: UUID) -> Reply:
    """Keep that the customer declined the revision that was sent"""
    return _answered(ask, quote_id, "declined")


def _answered(ask: Ask, quote_id: UUID, answer: Answer) -> Reply:
    row = find_quote(ask.session, ask.scope, quote_id)
    version = ask.condition.version(row.version)
    row = answer_quote(
        ask.session, ask.scope, quote_id, answer, ask.today, version, why=ask.body["note"]
    )
    return told(ask, row)
