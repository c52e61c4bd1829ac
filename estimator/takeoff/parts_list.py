"""A parts list while it is being filled: like parts come together in one line."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.basis import Because
from estimator.takeoff.part_kinds import PartKinds, UnknownPart
from estimator.takeoff.records import Attributes, Part

_PartKey = tuple[str, tuple[tuple[str, str], ...]]


@dataclass(slots=True)
class _Line:
    kind: str
    attributes: Attributes
    quantity: Decimal = Decimal(0)
    cuts_ft: list[Decimal] = field(default_factory=list)
    asked_by: list[str] = field(default_factory=list)
    because: list[Because] = field(default_factory=list)


class PartsList:
    """Lines by kind and attributes, in the order in which they were first asked for."""

    __slots__ = ("_kinds", "_lines")

    def __init__(self, kinds: PartKinds) -> None:
        self._kinds = kinds
        self._lines: dict[_PartKey, _Line] = {}

    def add(
        self,
        kind: str,
        attributes: Mapping[str, str],
        quantity: Decimal | int,
        asked_by: str | tuple[str, ...],
        *reasons: Because,
    ) -> None:
        """Count a part; nothing happens for a quantity of zero.

        Raises UnknownPart when the attributes are not those of the kind.
        """
        if quantity:
            line = self._line(kind, attributes, asked_by, reasons)
            line.quantity += quantity

    def add_cuts(
        self,
        kind: str,
        attributes: Mapping[str, str],
        cuts_ft: tuple[Decimal, ...],
        asked_by: str | tuple[str, ...],
        *reasons: Because,
    ) -> None:
        """Count pieces of goods that are sold by length [ft], each of which must be whole."""
        if self._kinds[kind].unit != "ft":
            raise UnknownPart(f"{kind} is not sold by length")
        if cuts_ft:
            line = self._line(kind, attributes, asked_by, reasons)
            line.cuts_ft += cuts_ft
            line.quantity += sum(cuts_ft)

    def parts(self) -> tuple[Part, ...]:
        """The finished lines in the order of part_kinds.toml."""
        rank = self._kinds.rank
        lines = sorted(self._lines.values(), key=lambda line: rank[line.kind])
        return tuple(map(self._part, lines))

    def _part(self, line: _Line) -> Part:
        kind = self._kinds[line.kind]
        return Part(
            line.kind,
            line.attributes,
            kind.describe(line.attributes),
            line.quantity,
            kind.unit,
            tuple(line.cuts_ft),
            kind.cost_code,
            tuple(line.asked_by),
            tuple(line.because),
        )

    def _line(
        self,
        kind: str,
        attributes: Mapping[str, str],
        asked_by: str | tuple[str, ...],
        reasons: tuple[Because, ...],
    ) -> _Line:
        key = (kind, tuple(attributes.items()))
        line = self._lines.get(key)
        if line is None:
            line = self._lines[key] = _Line(kind, self._kinds.identify(kind, attributes))
        for pointer in (asked_by,) if isinstance(asked_by, str) else asked_by:
            if pointer not in line.asked_by:
                line.asked_by.append(pointer)
        line.because += [reason for reason in reasons if reason not in line.because]
        return line
