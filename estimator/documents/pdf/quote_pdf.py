"""The quote for the customer: what is done, what it costs, what is not in it."""

from datetime import timedelta
from decimal import Decimal

from estimator.documents.paper_words import quote_words
from estimator.documents.pdf.common import cautions, circuit_words, errors
from estimator.documents.pdf.records import Sheet
from estimator.documents.pdf.typeset import typeset
from estimator.documents.pdf.words import day, money
from estimator.documents.pictures.one_line_words import run_words
from estimator.documents.records import FullEstimate
from estimator.money import ZERO
from estimator.units import plain

_METHOD = {
    "manual_switch": "manual transfer switch",
    "interlock": "interlock of the main and a back-fed breaker",
    "subpanel": "transfer subpanel",
    "automatic_switch": "automatic transfer switch",
}


def quote_pdf(estimate: FullEstimate, sheet: Sheet) -> bytes:
    """PDF of the quote: no costs of the contractor's own, one price for each group."""
    terms, price = estimate.job.terms, estimate.price
    discount = sum((group.discount for group in price.groups), ZERO)
    tax = sum((group.sales_tax for group in price.groups), ZERO)
    net = price.total - tax

    def cash(amount: Decimal) -> str:
        return money(amount, price.currency, sheet)

    rows = [
        {"what": words, "amount": cash(group.net + group.discount)}
        for group in price.groups
        for words in (quote_words().groups[group.group],)
        if group.net + group.discount
    ]
    data = {
        "title": f"Quote: {estimate.job.name}",
        "name": estimate.job.name,
        "number": sheet.number,
        "customer": list(sheet.customer),
        "quoted_on": day(terms.quoted_on, sheet),
        "valid_until": day(terms.quoted_on + timedelta(days=terms.valid_days), sheet),
        "scope": _scope(estimate),
        "circuits": circuit_words(estimate),
        "rows": rows,
        "discount": cash(-discount) if discount else "",
        "net": cash(net),
        "tax": cash(tax) if tax else "",
        "tax_percent": plain(terms.sales_tax_percent),
        "total": cash(price.total),
        "deposit": cash(price.deposit) if price.deposit else "",
        "complete": price.complete,
        "unpriced": price.unpriced,
        "proposed": price.proposed,
        "not_in": _not_in(estimate),
        "terms": list(quote_words().terms),
        "errors": errors(estimate),
        "cautions": cautions(estimate),
    }
    return typeset("quote.typ", sheet, data)


def _scope(estimate: FullEstimate) -> list[str]:
    job, design = estimate.job, estimate.design
    transfer = design.transfer
    lines = [
        f"One {transfer.rating_a} A {_METHOD[transfer.method]} for {len(job.circuits)} circuits, "
        f"{job.transfer.mounting} mounted.",
        f"One {job.inlet.configuration} power inlet, {job.inlet.place}, {job.inlet.mounting} "
        f"mounted, and a supply cord of {plain(design.cord.length_ft)} ft.",
    ]
    for run in design.runs:
        first, *_ = run_words(run)
        lines.append(f"{first}, {run.from_} to {run.to}.".replace("_", " "))
    lines.append("Signs, directory, a test of each circuit on the supply, and an introduction.")
    return lines


def _not_in(estimate: FullEstimate) -> list[str]:
    left_out = [one.message for one in estimate.findings if one.code.endswith("_EXCLUDED")]
    if estimate.job.terms.permit_fee is None:
        left_out.append("The fee of the permit, which is not known yet.")
    return [*quote_words().not_in, *left_out]
