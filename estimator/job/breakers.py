"""Branch circuit breakers: the standard ratings and the wire each is normally found on."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from estimator.job.records import Material
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

_TABLE = "tables/branch_breakers.csv"


@dataclass(frozen=True, slots=True)
class BranchBreaker:
    """A standard rating [A] with the smallest wire it may protect, by the 60 C column."""

    rating_a: int
    copper: str
    aluminium: str
    source: str

    def smallest_wire(self, material: Material) -> str:
        """Size of the smallest conductor of this material on this breaker."""
        return self.copper if material == "cu" else self.aluminium


@cache
def load_branch_breakers() -> Mapping[int, BranchBreaker]:
    """Breakers by rating, smallest first; read once in a process. Raises TableError."""
    rows = read_table(
        package_text("estimator.job", _TABLE),
        BranchBreaker,
        name=_TABLE,
        key=("rating_a",),
        sources=load_sources(),
    )
    return MappingProxyType({row.rating_a: row for row in rows})


@cache
def branch_ratings() -> tuple[int, ...]:
    """The standard ratings [A] of a circuit in a house."""
    return tuple(load_branch_breakers())
