"""Why a value is what it is: the rule, its source and the figures it used."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.units import plain

Figure = str | int | Decimal


@dataclass(frozen=True, slots=True)
class Because:
    """One reason behind a value.

    text: one plain sentence. source: a key of published/sources.toml.
    figures: (name with unit, value) pairs used by the rule.
    """

    text: str
    source: str
    figures: tuple[tuple[str, str], ...] = ()


def because(text: str, source: str, **figures: Figure) -> Because:
    """A reason with its figures written as exact text."""
    return Because(
        text,
        source,
        tuple(
            (name, plain(value) if isinstance(value, Decimal) else str(value))
            for name, value in figures.items()
        ),
    )
