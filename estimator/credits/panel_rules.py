"""Rules of the credit on panel work as frozen records."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.basis import Because
from estimator.credits.records import Status
from estimator.credits.rules import OpenSides, Standing
from estimator.published.dated import Dated

PanelItem = Literal[
    "cost", "item_credit", "enabled_codes", "product_number", "bucket_sum", "bucket",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Enabled:
    """Something that a panel makes possible. counts: an improvement that the item asks for."""

    code: str
    label: str
    counts: bool
    source: str


@dataclass(frozen=True, slots=True)
class PanelReason:
    """Why a claim falls or is open. ask: the question that would settle it, or empty."""

    code: str
    verdict: Status
    ask: str
    authority: str
    because: Because


@dataclass(frozen=True, slots=True)
class PanelFormRow:
    """One line of the form of a year. standing: how well the line number is known."""

    tax_year: int
    line: str
    item: PanelItem
    label: str
    standing: Standing
    source: str


@dataclass(frozen=True, slots=True)
class PanelRules:
    """All rules of the credit on panel work. Caps in USD, minimum in amperes."""

    programme: str
    jurisdiction: str
    form: str
    checked_on: date
    checked_through_year: int
    cost_label: str
    caution: str
    in_force: Dated[Decimal]
    rate: Dated[Decimal]
    item_cap: Dated[Decimal]
    annual_cap: Dated[Decimal]
    heat_pump_cap: Dated[Decimal]
    minimum_amps: Dated[Decimal]
    full_base_share: Dated[Decimal]
    enables: Mapping[str, Enabled]
    reasons: Mapping[str, PanelReason]
    open_sides: Mapping[str, OpenSides]
    questions: Mapping[str, str]
    evidence: tuple[str, ...]
    form_rows: Mapping[int, tuple[PanelFormRow, ...]]

    @property
    def first_day(self) -> date:
        """First day on which panel work placed in service can give a credit."""
        return self.in_force.spans[0].start

    @property
    def last_day(self) -> date:
        """Last such day; the far future while no end is known."""
        return self.in_force.spans[-1].until or date.max
