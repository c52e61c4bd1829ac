"""Why a value is what it is: the rule, its source and the figures it used."""

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from estimator.record import quick
from estimator.units import plain

Figure = str | int | Decimal


@quick
@dataclass(frozen=True, slots=True)
class Because:
    """One reason behind a value.

    text: one plain sentence. source: a key of published/sources.toml.
    values: (name with unit, value) pairs used by the rule.
    """

    text: str
    source: str
    values: tuple[tuple[str, Figure], ...] = ()

    @property
    def figures(self) -> tuple[tuple[str, str], ...]:
        """The values as exact text, written only when a document shows them."""
        return tuple(
            [
                (name, value if isinstance(value, str) else plain(value))
                for name, value in self.values
            ]
        )


def because(text: str, source: str, **figures: Figure) -> Because:
    """A reason with the figures that it used."""
    if not figures:
        return _without_figures(text, source)
    return Because(text, source, tuple(figures.items()))


@lru_cache(maxsize=4096)
def _without_figures(text: str, source: str) -> Because:
    """One record for a sentence that stands in every estimate; records never change."""
    return Because(text, source)
