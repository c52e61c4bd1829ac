"""The table of years, shortened: years in a row in which nothing changes stand together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.credits.records import Status
from estimator.credits.year_table import CreditYear, YearOfProgramme

YEARS_ARE = "The same job completed, paid and put to use in each year; nothing carried in."
NOT_CHECKED = (
    "The rules were not checked for years this late; they stand under the law as it was last read."
)
_AS_BEFORE = "As in the year before."
CARRIED = "Years after, with what is left of the federal credit"
CARRIED_IS = "Nothing new is claimed in these years; the tax left in each is as told."
TOGETHER = "All of them together"
TOGETHER_IS = "What one gives may lower another, so this may be less than their sum."


@dataclass(frozen=True, slots=True)
class YearSpan:
    """A programme from a year to a year. status: None for all programmes together.
    why: the reasons of the first span, then what changes against the year before.
    """

    programme: str
    first: int
    last: int
    status: Status | None
    amount: Decimal
    amount_if_uncertain: Decimal
    checked: bool
    why: str

    @property
    def years(self) -> str:
        """The years in words."""
        return str(self.first) if self.first == self.last else f"{self.first} to {self.last}"

    @property
    def told(self) -> str:
        """Why, and whether the rules were checked for these years."""
        return self.why if self.checked else f"{self.why or _AS_BEFORE} {NOT_CHECKED}"


def year_spans(years: Sequence[CreditYear]) -> Iterator[YearSpan]:
    """The spans of one programme after the other, then of all together where there are several."""
    names = [one.programme for one in years[0].programmes] if years else []
    for place in range(len(names)):
        rows = [_of_programme(row.year, row.programmes[place]) for row in years]
        rows[0] = replace(rows[0], why=years[0].programmes[place].why)
        yield from _merged(rows)
    if len(names) > 1:
        yield from _merged([_together(row) for row in years])


def _of_programme(year: int, one: YearOfProgramme) -> YearSpan:
    amounts = one.amount, one.amount_if_uncertain
    return YearSpan(one.programme, year, year, one.status, *amounts, one.checked, one.change)


def _together(row: CreditYear) -> YearSpan:
    amounts = row.total, row.total_if_uncertain
    return YearSpan(TOGETHER, row.year, row.year, None, *amounts, True, "")


def _merged(rows: list[YearSpan]) -> list[YearSpan]:
    spans: list[YearSpan] = []
    for row in rows:
        if spans and _goes_on(spans[-1], row):
            spans[-1] = replace(spans[-1], last=row.last)
        else:
            spans.append(row)
    return spans


def _goes_on(span: YearSpan, row: YearSpan) -> bool:
    return not row.why and replace(row, first=span.first, last=span.last, why=span.why) == span
