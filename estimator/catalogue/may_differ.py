"""Attributes in which a proposed item may differ from the part, for looks only.

Whatever is not in the table matters for safety or fit: size, rating, insulation, wet rating,
style, configuration, poles. It never differs.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.records import Attributes

_TABLE = "lexicon/may_differ.csv"


@dataclass(frozen=True, slots=True)
class MayDifferRow:
    """A value that may stand for the other values of its group."""

    kind: str
    attribute: str
    value: str
    group: str
    source: str


@cache
def load_may_differ() -> Mapping[str, Mapping[tuple[str, str], str]]:
    """Group by kind, and in it by attribute and value; read once in a process."""
    rows = read_table(
        package_text("estimator.catalogue", _TABLE),
        MayDifferRow,
        name=_TABLE,
        key=("kind", "attribute", "value"),
        sources=load_sources(),
    )
    found: dict[str, dict[tuple[str, str], str]] = {}
    for row in rows:
        found.setdefault(row.kind, {})[row.attribute, row.value] = row.group
    return found


def looks_apart(kind: str, attributes: Attributes) -> Attributes | None:
    """The attributes with the group in place of each value that may differ; None without any."""
    groups = load_may_differ().get(kind)
    if groups is None:
        return None
    apart = tuple(
        [(name, groups.get((name, value.casefold()), value)) for name, value in attributes]
    )
    return None if apart == attributes else apart
