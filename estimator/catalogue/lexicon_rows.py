"""Rows of the lexicon: what the trade writes, and what it says about a part."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Role = Literal["noun", "trait", "extra", "other", "denial", "unit", "container"]

# The unit that a form asks for, where the unit's word may have other meanings.
FORM_UNITS: Mapping[str, str] = {
    "degrees": "degree",
    "amperes": "ampere",
    "circuits": "circuit",
    "poles": "pole",
    "spaces": "space",
    "terminals": "terminal",
    "ports": "port",
    "feet": "foot",
    "square feet": "square foot",
    "cubic inches": "cubic inch",
}


@dataclass(frozen=True, slots=True)
class WordRow:
    """A spelling and one meaning of it; a spelling may have several rows.

    meaning: one or more concepts, " + " between them. role: "noun" names the goods, or makes
    other goods of them, such as COPPER beside ELBOW, so a kind must account for it; "trait"
    tells of them; "extra" matters to no kind; "other" names goods, or a want, that none of our
    kinds has; "denial" takes back what other words say; "unit" follows a figure; "container"
    is a pack.
    """

    written: str
    role: Role
    meaning: str
    source: str


@dataclass(frozen=True, slots=True)
class NeedRow:
    """Concepts that together name a kind of part; a kind may have several rows.

    sure: they do so even beside words that are not understood. "EMT" alone names conduit only
    when nothing else in the text could be the goods.
    """

    kind: str
    concepts: str
    sure: bool
    source: str


@dataclass(frozen=True, slots=True)
class ValueRow:
    """Concepts that together give an attribute its value; more concepts go before fewer.

    value: blank when they say that it is none of the values that our parts have.
    """

    kind: str
    attribute: str
    concepts: str
    value: str | None
    source: str


@dataclass(frozen=True, slots=True)
class FigureRow:
    """Which form of figure gives an attribute; see description_figures.FORMS."""

    kind: str
    attribute: str
    form: str
    source: str


@dataclass(frozen=True, slots=True)
class ExtraRow:
    """Concepts, blanks between them, that a description of a kind may hold besides."""

    kind: str
    concepts: str
    source: str


@dataclass(frozen=True, slots=True)
class ImpliedRow:
    """A value that usual practice leaves unwritten, and what is said when it is supposed."""

    kind: str
    attribute: str
    concepts: str
    value: str
    why: str
    source: str
