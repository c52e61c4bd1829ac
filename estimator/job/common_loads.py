"""Common household loads with typical figures, to start from where no nameplate is at hand."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Literal

from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

_TABLE = "tables/common_loads.csv"


@dataclass(frozen=True, slots=True)
class CommonLoad:
    """One load. breaker_a: of the circuit that it usually has. starting_w: total at the start."""

    load: str
    poles: Literal["1", "2"]
    breaker_a: int
    running_w: Decimal
    starting_w: Decimal
    source: str


@cache
def load_common_loads() -> tuple[CommonLoad, ...]:
    """All loads in the order of the table, read once in a process. Raises TableError."""
    return read_table(
        package_text("estimator.job", _TABLE),
        CommonLoad,
        name=_TABLE,
        key=("load",),
        sources=load_sources(),
    )
