"""Whether an item can still be had, and how long it takes: status and lead time cells."""

import re
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from functools import cache, lru_cache
from typing import Literal

from estimator.catalogue.figures import shortened
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

_MOST_DAYS = 1000
_LEAD = re.compile(
    r"([0-9]{1,3}(?:\.[0-9])?)?\s*(?:(?:-|\u2013|to)\s*([0-9]{1,3}(?:\.[0-9])?))?\s*([A-Za-z ]*)\.?"
)


@dataclass(frozen=True, slots=True)
class StatusRow:
    """What a status cell says of an item."""

    written: str
    meaning: Literal["available", "discontinued"]
    source: str


@dataclass(frozen=True, slots=True)
class LeadTimeRow:
    """Calendar days in a unit of lead time, or that a word stands for."""

    written: str
    days: Decimal
    source: str


@cache
def load_statuses() -> dict[str, bool]:
    """Whether discontinued, by spelling; read once in a process."""
    name = "lexicon/item_status.csv"
    rows = read_table(
        package_text("estimator.catalogue", name),
        StatusRow,
        name=name,
        key=("written",),
        sources=load_sources(),
    )
    return {row.written: row.meaning == "discontinued" for row in rows}


@cache
def load_lead_times() -> dict[str, Decimal]:
    """Calendar days by spelling; read once in a process."""
    name = "lexicon/lead_times.csv"
    rows = read_table(
        package_text("estimator.catalogue", name),
        LeadTimeRow,
        name=name,
        key=("written",),
        sources=load_sources(),
    )
    return {row.written: row.days for row in rows}


@lru_cache(maxsize=1024)
def read_discontinued(status: str, replaced: bool) -> bool:
    """Whether an item is discontinued.

    replaced: the list names a replacement, which with a blank status says so too. Raises
    ValueError for a status that is not in the table.
    """
    text = " ".join(status.upper().split()).removesuffix(".")
    if not text:
        return replaced
    found = load_statuses().get(text)
    if found is None:
        raise ValueError(
            f"{shortened(status)} is not a status we know. Write active or discontinued, or add "
            "it to lexicon/item_status.csv"
        )
    return found


@lru_cache(maxsize=1024)
def read_lead_time(cell: str) -> int | None:
    """Calendar days until delivery, the longest of a span; None for a blank cell.

    A bare number is days, five business days a week. Raises ValueError for anything else.
    """
    text = cell.strip()
    if not text:
        return None
    found = _LEAD.fullmatch(text)
    word = " ".join(found[3].upper().split()) if found else ""
    days = load_lead_times().get(word) if word else Decimal(1)
    if found is None or days is None or (found[1] is None and days > 1):
        raise ValueError(
            f"{shortened(cell)} is not a lead time. Write days or weeks, such as 10 days"
        )
    count = Decimal(found[2] or found[1] or 1)
    total = int((count * days).to_integral_value(ROUND_CEILING))
    if total > _MOST_DAYS:
        raise ValueError(f"{shortened(cell)} is more than {_MOST_DAYS} days. Is it a date?")
    return total
