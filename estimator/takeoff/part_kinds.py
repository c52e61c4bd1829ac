"""The vocabulary of parts: kinds with their attributes, read strictly from part_kinds.toml."""

import tomllib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from string import Formatter
from typing import Any, get_args

from estimator.basis import Because
from estimator.published.tables import package_text
from estimator.takeoff.records import Attributes, Part, Unit

_REQUIRED = ("unit", "attributes", "description", "cost_code")
_FIELDS = frozenset({*_REQUIRED, "stick"})
_MOST_NAMES_KEPT = 8192


class PartKindsError(Exception):
    """part_kinds.toml is broken; the message lists every fault."""


class UnknownPart(ValueError):
    """A kind or its attributes do not fit part_kinds.toml; the message says what would."""


@dataclass(frozen=True, slots=True)
class PartKind:
    """One kind of part.

    attributes: names in order; with the kind they identify a part. stick: goods by length
    that are joined end to end, so that a run may be several pieces.
    """

    name: str
    unit: Unit
    stick: bool
    attributes: tuple[str, ...]
    description: str
    cost_code: str

    def describe(self, attributes: Attributes) -> str:
        """The part as the trade would write it."""
        return self.description.format(**dict(attributes))

    def identify(self, values: Mapping[str, str]) -> Attributes:
        """The attributes in the order of the kind.

        Raises UnknownPart when one is missing, unknown or blank.
        """
        if tuple(values) == self.attributes and all(values.values()):
            return tuple(values.items())
        missing = [name for name in self.attributes if not values.get(name)]
        unknown = [name for name in values if name not in self.attributes]
        if missing or unknown:
            raise UnknownPart(
                f"{self.name} has the attributes {', '.join(self.attributes)}; "
                + "; ".join(
                    [f"{name} is missing" for name in missing]
                    + [f"{name} is not one of them" for name in unknown]
                )
            )
        return tuple((name, values[name]) for name in self.attributes)


@dataclass(frozen=True, slots=True)
class NamedPart:
    """What a part is called. rank: place of its kind in a printed parts list."""

    kind: PartKind
    attributes: Attributes
    description: str
    rank: int


class PartKinds(Mapping[str, PartKind]):
    """The kinds by name, in the order in which a parts list is printed."""

    __slots__ = ("_kinds", "named", "rank")

    def __init__(self, kinds: Sequence[PartKind]) -> None:
        self._kinds = {kind.name: kind for kind in kinds}
        self.rank = {kind.name: rank for rank, kind in enumerate(kinds)}
        # Jobs ask for the same parts again and again; each is checked and written once.
        self.named = lru_cache(maxsize=_MOST_NAMES_KEPT)(self._named)

    def __getitem__(self, name: str) -> PartKind:
        return self._kinds[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._kinds)

    def __len__(self) -> int:
        return len(self._kinds)

    def identify(self, kind: str, values: Mapping[str, str]) -> Attributes:
        """The attributes of a part in order; raises UnknownPart for a misfit."""
        if kind not in self._kinds:
            raise UnknownPart(
                f"{kind!r} is not a kind of part; the kinds are {', '.join(self._kinds)}"
            )
        return self._kinds[kind].identify(values)

    def _named(self, kind: str, attributes: Attributes) -> NamedPart:
        """A part by its attributes in any order; raises UnknownPart for a misfit."""
        checked = self.identify(kind, dict(attributes))
        found = self._kinds[kind]
        return NamedPart(found, checked, found.describe(checked), self.rank[kind])

    def part(
        self,
        kind: str,
        attributes: Attributes,
        quantity: Decimal,
        *,
        asked_by: tuple[str, ...],
        because: tuple[Because, ...],
        cuts_ft: tuple[Decimal, ...] = (),
    ) -> Part:
        """A part whose attributes are exactly those of its kind. Raises UnknownPart.

        quantity: in the kind's unit. cuts_ft: only for goods sold by length.
        """
        named = self.named(kind, attributes)
        return Part(
            kind=kind,
            attributes=named.attributes,
            description=named.description,
            quantity=quantity,
            unit=named.kind.unit,
            cuts_ft=cuts_ft,
            cost_code=named.kind.cost_code,
            asked_by=asked_by,
            because=because,
        )


def parse_part_kinds(text: str, name: str = "part_kinds.toml") -> PartKinds:
    """Kinds from TOML, in file order. Raises PartKindsError with every fault at once."""
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PartKindsError(f"{name}: {error}") from error
    faults: list[str] = []
    kinds: list[PartKind] = []
    for key, entry in document.items():
        found = _entry_faults(entry)
        faults += [f"{name}, {key}: {fault}" for fault in found]
        if not found:
            kinds.append(
                PartKind(
                    key,
                    entry["unit"],
                    entry.get("stick", False),
                    tuple(entry["attributes"]),
                    entry["description"],
                    entry["cost_code"],
                )
            )
    if not kinds and not faults:
        faults.append(f"{name}: there are no kinds in it")
    if faults:
        raise PartKindsError("\n".join(faults))
    return PartKinds(kinds)


def _entry_faults(entry: Any) -> list[str]:
    if not isinstance(entry, dict):
        return ["is not a table of fields"]
    faults = [f"unknown field {field}" for field in sorted(set(entry) - _FIELDS)]
    faults += [f"field {field} is missing" for field in _REQUIRED if field not in entry]
    if faults:
        return faults
    faults += [
        f"{field} must be text"
        for field in ("description", "cost_code")
        if not isinstance(entry[field], str) or not entry[field]
    ]
    if entry["unit"] not in get_args(Unit):
        faults.append(f"unit {entry['unit']!r} is not one of {', '.join(get_args(Unit))}")
    if not isinstance(entry.get("stick", False), bool):
        faults.append("stick must be true or false")
    elif entry.get("stick") and entry["unit"] != "ft":
        faults.append("stick is only for goods in ft")
    attributes = entry["attributes"]
    if not _names(attributes):
        faults.append("attributes must be a list of different names, at least one")
    elif not faults:
        faults += _template_faults(entry["description"], attributes)
    return faults


def _names(value: object) -> bool:
    return (
        isinstance(value, list)
        and bool(value)
        and all(isinstance(name, str) and name for name in value)
        and len(set(value)) == len(value)
    )


def _template_faults(description: str, attributes: Collection[str]) -> list[str]:
    try:
        used = {field for _, field, _, _ in Formatter().parse(description) if field is not None}
    except ValueError as error:
        return [f"description: {error}"]
    return [
        f"description names {{{field}}}, which is not an attribute"
        for field in sorted(used - set(attributes))
    ] + [
        f"description leaves out the attribute {field}" for field in attributes if field not in used
    ]


@cache
def load_part_kinds() -> PartKinds:
    """The package's own kinds, read once in a process."""
    return parse_part_kinds(package_text("estimator.takeoff", "part_kinds.toml"))
