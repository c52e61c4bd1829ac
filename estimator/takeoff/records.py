"""Parts and labour as frozen records."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.basis import Because
from estimator.finding import Finding
from estimator.record import quick

Unit = Literal["ea", "ft"]
Attributes = tuple[tuple[str, str], ...]


@quick
@dataclass(frozen=True, slots=True)
class Part:
    """One thing the job needs.

    kind and attributes (name, value pairs in the order of part_kinds.toml) identify it: the
    same two never stand in two lines. quantity: in unit, as needed, before any pack.
    cuts_ft: for goods sold by length, the pieces that must each be whole (empty otherwise);
    they sum to quantity. cost_code: which cost of the credit rules it belongs to.
    asked_by: JSON pointers into the estimate ("/runs/0", "/transfer", "/circuits/2").
    """

    kind: str
    attributes: Attributes
    description: str
    quantity: Decimal
    unit: Unit
    cuts_ft: tuple[Decimal, ...]
    cost_code: str
    asked_by: tuple[str, ...]
    because: tuple[Because, ...]


@quick
@dataclass(frozen=True, slots=True)
class LabourTask:
    """One task of the job. hours: likely, for the whole quantity, factors included."""

    code: str
    task: str
    quantity: Decimal
    unit: str
    hours_low: Decimal
    hours: Decimal
    hours_high: Decimal
    because: tuple[Because, ...]


@quick
@dataclass(frozen=True, slots=True)
class ToolNeed:
    """A tool that one needs who does the job alone; prices in US dollars.

    owned: it is at hand already. buy_low, buy, buy_high: what it costs to buy.
    rent_per_day, rent_days: None for what nobody rents out.
    """

    tool: str
    description: str
    owned: bool
    buy_low: Decimal
    buy: Decimal
    buy_high: Decimal
    rent_per_day: Decimal | None
    rent_days: int | None
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Everything the job takes. tools: of one who does it alone, whoever does it."""

    parts: tuple[Part, ...]
    labour: tuple[LabourTask, ...]
    findings: tuple[Finding, ...]
    tools: tuple[ToolNeed, ...] = ()

    @property
    def hours(self) -> Decimal:
        """Likely hours of all tasks."""
        return sum((task.hours for task in self.labour), Decimal(0))
