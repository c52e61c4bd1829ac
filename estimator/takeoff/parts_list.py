"""A parts list while it is being filled: like parts come together in one line."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because
from estimator.takeoff.part_kinds import NamedPart, PartKinds, UnknownPart
from estimator.takeoff.records import Attributes, Part

_NOTHING = Decimal(0)


@dataclass(slots=True)
class _Line:
    part: NamedPart
    quantity: Decimal
    cuts_ft: list[Decimal]
    asked_by: list[str]
    because: list[Because]


class PartsList:
    """Lines by kind and attributes, in the order in which they were first asked for."""

    __slots__ = ("_kinds", "_lines")

    def __init__(self, kinds: PartKinds) -> None:
        self._kinds = kinds
        self._lines: dict[tuple[str, Attributes], _Line] = {}

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
        lines = sorted(self._lines.values(), key=lambda line: line.part.rank)
        return tuple(map(_finished, lines))

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
            line = self._lines[key] = _Line(self._kinds.named(*key), _NOTHING, [], [], [])
        for pointer in (asked_by,) if isinstance(asked_by, str) else asked_by:
            if pointer not in line.asked_by:
                line.asked_by.append(pointer)
        for reason in reasons:
            if reason not in line.because:
                line.because.append(reason)
        return line


def _finished(line: _Line) -> Part:
    named = line.part
    return Part(
        named.kind.name,
        named.attributes,
        named.description,
        line.quantity,
        named.kind.unit,
        tuple(line.cuts_ft),
        named.kind.cost_code,
        tuple(line.asked_by),
        tuple(line.because),
    )
