"""Attributes of an item as a price list writes them: "size=10 AWG; colour=black"."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from estimator.takeoff.part_kinds import PartKind
from estimator.takeoff.records import Attributes

# Looking for the nearest kind is slow; a list that is wrong throughout needs it only so often.
_MOST_SUGGESTIONS = 50


class UnknownKind(ValueError):
    """A kind that is not in our vocabulary."""


@dataclass(slots=True)
class AttributeReader:
    """Reads kind and attribute cells of one list.

    Cells are remembered, because a list repeats few of them many times.
    """

    kinds: Mapping[str, PartKind]
    _read: dict[tuple[str, str], Attributes] = field(default_factory=dict)
    _unknown: dict[str, str] = field(default_factory=dict)

    def read(self, kind: str, cell: str) -> Attributes:
        """Attributes in the order of the kind.

        Raises UnknownKind, or ValueError naming all that is missing, unknown, repeated or
        blank.
        """
        known = self._read.get((kind, cell))
        if known is None:
            known = self._attributes(kind, cell)
            self._read[(kind, cell)] = known
        return known

    def _attributes(self, kind: str, cell: str) -> Attributes:
        if kind not in self.kinds:
            raise UnknownKind(self._unknown_kind(kind))
        names = self.kinds[kind].attributes
        values: dict[str, str] = {}
        wrong: list[str] = []
        for pair in cell.split(";"):
            name, _, value = pair.partition("=")
            name, value = name.strip().casefold().replace(" ", "_"), " ".join(value.split())
            if not pair.strip():
                continue
            if not value:
                wrong.append(f"{pair.strip()!r} gives no value")
            elif name not in names:
                wrong.append(f"{name!r} is not an attribute of {kind}")
            elif name in values:
                wrong.append(f"{name!r} stands twice")
            else:
                values[name] = value
        missing = [name for name in names if name not in values]
        if missing:
            wrong.append(f"{', '.join(missing)} is missing")
        if wrong:
            pattern = "; ".join(f"{name}=..." for name in names)
            raise ValueError(f"{', '.join(wrong)}. Write {pattern}")
        return tuple((name, values[name]) for name in names)

    def _unknown_kind(self, kind: str) -> str:
        if not kind:
            return "is blank. Write the kind of part, such as conductor"
        if kind not in self._unknown and len(self._unknown) < _MOST_SUGGESTIONS:
            near = get_close_matches(kind, self.kinds, n=3)
            self._unknown[kind] = f"; nearest: {', '.join(near)}" if near else ""
        return (
            f"{kind!r} is not a kind of part that we know{self._unknown.get(kind, '')}. "
            "estimator/takeoff/part_kinds.toml lists them"
        )
