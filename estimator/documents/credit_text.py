"""The table of years as plain text."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby
from textwrap import wrap

from estimator.credits.chain import LinkOfYear
from estimator.credits.year_table import CreditYear
from estimator.documents.credit_years import (
    CARRIED_IS,
    TOGETHER,
    TOGETHER_IS,
    YEARS_ARE,
    YearSpan,
    year_spans,
)

_WIDTH = 96
_INDENT = " " * 15


def year_lines(years: Sequence[CreditYear], currency: str) -> Iterator[str]:
    """For each programme the years in which nothing changes together, and why it changes."""
    yield f"{YEARS_ARE} Amounts in {currency}."
    for programme, spans in groupby(year_spans(years), key=lambda span: span.programme):
        yield from ("", programme)
        if programme == TOGETHER:
            yield TOGETHER_IS
        yield f"  {'years':12} {'sure':>12} {'if all is allowed':>18}"
        for span in spans:
            yield from _span(span)


def carried_lines(links: Sequence[LinkOfYear], currency: str) -> Iterator[str]:
    """The years after a claim: what is carried in, used and left, sure and with all allowed."""
    yield f"{CARRIED_IS} Amounts in {currency}."
    yield f"  {'':6}{'sure':>42}{'if all is allowed':>42}"
    yield f"  {'year':6}" + f"{'carried in':>14}{'used':>14}{'left over':>14}" * 2
    for link in links:
        sure = (link.carried_in, link.amount, link.carryforward)
        most = (
            link.carried_in_if_uncertain,
            link.amount_if_uncertain,
            link.carryforward_if_uncertain,
        )
        yield f"  {link.year:<6}" + "".join(f"{_money(each):>14}" for each in (*sure, *most))
        yield from wrap(link.open_because, _WIDTH, initial_indent="  ", subsequent_indent="  ")


def _money(amount: Decimal | None) -> str:
    return "not known" if amount is None else f"{amount:,.2f}"


def _span(span: YearSpan) -> Iterator[str]:
    status = "" if span.status is None else f"   {span.status.replace('_', ' ')}"
    yield f"  {span.years:12} {span.amount:>12,.2f} {span.amount_if_uncertain:>18,.2f}{status}"
    yield from wrap(span.told, _WIDTH, initial_indent=_INDENT, subsequent_indent=_INDENT)
