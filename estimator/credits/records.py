"""Credit facts and answers as frozen records."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.basis import Because

Status = Literal["eligible", "not_eligible", "uncertain"]


@dataclass(frozen=True, slots=True)
class CostLine:
    """One cost put before the credit rules. code: a cost code of the rules file."""

    code: str
    description: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class CreditLine:
    """The verdict on one cost. authority: the citation as text."""

    cost: str
    code: str
    amount: Decimal
    status: Status
    reason_code: str
    authority: str
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class FormLine:
    """One line of the tax form of the year, as text: line "6a", label, amount."""

    form: str
    line: str
    label: str
    amount: str


@dataclass(frozen=True, slots=True)
class CreditAnswer:
    """What one programme gives for one job.

    base, rate, amount: over the sure lines. amount_if_uncertain: if every open point went
    the taxpayer's way. tax_year None: the year is not known. carryforward: what remains
    for the next year (None when the tax limit is not told).
    """

    programme: str
    jurisdiction: str
    tax_year: int | None
    status: Status
    reason_codes: tuple[str, ...]
    lines: tuple[CreditLine, ...]
    base: Decimal
    rate: Decimal
    tentative: Decimal
    amount: Decimal
    amount_if_uncertain: Decimal
    carryforward: Decimal | None
    form_lines: tuple[FormLine, ...]
    evidence: tuple[str, ...]
    questions: tuple[str, ...]
    because: tuple[Because, ...]
    caution: str
