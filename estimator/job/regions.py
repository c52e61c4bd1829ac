"""Regions that a house can stand in: the United States and their subdivisions."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

_TABLE = "tables/regions.csv"


@dataclass(frozen=True, slots=True)
class Region:
    """A region by its ISO 3166-2 code; "US" when the state is not known."""

    region: str
    name: str
    source: str


@cache
def region_names() -> Mapping[str, str]:
    """Every region code with its name, in the order of the table; read once. Raises TableError."""
    rows = read_table(
        package_text("estimator.job", _TABLE),
        Region,
        name=_TABLE,
        key=("region",),
        sources=load_sources(),
    )
    return {row.region: row.name for row in rows}


def region_codes() -> tuple[str, ...]:
    """Every region code, in the order of the table."""
    return tuple(region_names())
