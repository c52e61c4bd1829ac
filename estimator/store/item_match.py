"""What an item is, as 64 bits that the database can look for.

Two parts may share their bits by chance; then an item is loaded in vain, and matching passes
it over. Nothing is missed.
"""

import hashlib
from collections.abc import Iterable, Iterator
from itertools import product

from estimator.catalogue.match import Key, key_of
from estimator.catalogue.may_differ import load_may_differ
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Attributes, Part, Unit

_BYTES = 8
_MOST_LOOKS = 1_000


def match_hash(kind: str, unit: Unit, attributes: Attributes) -> int:
    """64 bits, with sign, of kind, unit and attribute values without regard to letter case."""
    return _hash(key_of(kind, unit, attributes))


def unit_of(kind: str) -> Unit:
    """The unit in which a kind of part is counted. Raises KeyError for a kind unknown."""
    return load_part_kinds()[kind].unit


def hashes_of_parts(parts: Iterable[Part]) -> set[int]:
    """What items may serve the parts: the parts themselves, and those that differ for looks."""
    return {
        _hash(key_of(part.kind, part.unit, attributes))
        for part in parts
        for attributes in _looks(part.kind, part.attributes)
    }


def _looks(kind: str, attributes: Attributes) -> Iterator[Attributes]:
    yield attributes
    groups = load_may_differ().get(kind)
    if groups is None:
        return
    choices: list[list[str]] = []
    ways = 1
    for name, value in attributes:
        group = groups.get((name, value.casefold()))
        alike = [
            other
            for (attribute, other), its_group in groups.items()
            if group is not None and attribute == name and its_group == group
        ]
        choices.append(alike or [value])
        ways *= len(choices[-1])
    if ways > _MOST_LOOKS:
        raise ValueError(f"{kind} may look in {ways} ways; may_differ.csv allows too much")
    for values in product(*choices):
        yield tuple((name, value) for (name, _), value in zip(attributes, values, strict=True))


def _hash(key: Key) -> int:
    kind, unit, values = key
    text = "\x1f".join((kind, unit, *values))
    return int.from_bytes(hashlib.blake2b(text.encode(), digest_size=_BYTES).digest(), signed=True)
