"""The table of years as plain text."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from estimator.credits.year_table import CreditYear, YearOfProgramme

_WIDTH = 110


def year_lines(years: Sequence[CreditYear], currency: str) -> Iterator[str]:
    """A row for each programme and year, and below it what changes against the year before."""
    yield "The same job completed, paid and put to use in each year; nothing carried in."
    yield f"{'year':4} {'sure':>10} {'if allowed':>10} {currency}  {'verdict':12} programme"
    for row in years:
        for one in row.programmes:
            yield _row(row.year, one)
            if one.change:
                yield from wrap(
                    one.change, _WIDTH, initial_indent="     -> ", subsequent_indent=" " * 8
                )


def _row(year: int, one: YearOfProgramme) -> str:
    unchecked = "" if one.checked else " (rules not checked for this year)"
    return (
        f"{year} {one.amount:>10,.2f} {one.amount_if_uncertain:>10,.2f}      "
        f"{one.status.replace('_', ' '):12} {one.programme}{unchecked}"
    )
