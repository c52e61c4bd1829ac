"""The table of years as plain text."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from estimator.credits.year_table import CreditYear
from estimator.documents.credit_years import (
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


def _span(span: YearSpan) -> Iterator[str]:
    status = "" if span.status is None else f"   {span.status.replace('_', ' ')}"
    yield f"  {span.years:12} {span.amount:>12,.2f} {span.amount_if_uncertain:>18,.2f}{status}"
    yield from wrap(span.told, _WIDTH, initial_indent=_INDENT, subsequent_indent=_INDENT)
