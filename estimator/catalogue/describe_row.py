"""What a row without kind and attributes sells: as a person confirmed, or as described."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.catalogue.lexicon import Lexicon
from estimator.catalogue.read_description import read_description
from estimator.catalogue.reading import Reading
from estimator.catalogue.records import ReadFrom
from estimator.takeoff.part_kinds import PartKinds
from estimator.takeoff.records import Attributes
from estimator.units import plain

# By supplier (letter case aside) and item number: the kind and attributes that it is.
Confirmed = Mapping[tuple[str, str], tuple[str, Attributes]]


@dataclass(frozen=True, slots=True)
class Described:
    """What a row sells, or why that is not known (a blank text when it is)."""

    kind: str | None
    attributes: Attributes
    pack: Decimal | None
    read_from: ReadFrom
    supposed: tuple[str, ...]
    why_not: str


@dataclass(slots=True)
class DescriptionReader:
    """Reads the descriptions of one list; like ones are read once."""

    lexicon: Lexicon
    kinds: PartKinds
    confirmed: Confirmed
    _read: dict[str, Reading] = field(default_factory=dict)

    def read(self, identity: tuple[str, str], description: str) -> Described:
        """What the item is: a confirmed match goes before our own reading."""
        reading = self._read.get(description)
        if reading is None:
            reading = read_description(description, self.lexicon, self.kinds)
            self._read[description] = reading
        known = self.confirmed.get((identity[0].casefold(), identity[1]))
        if known is not None:
            return Described(known[0], known[1], reading.pack, "confirmed", (), "")
        supposed = tuple(reason.text for reason in reading.because[1:]) + tuple(
            f"{each} is taken for a spelling mistake." for each in reading.corrected
        )
        why_not = "" if description else "the description is blank"
        return Described(
            reading.kind,
            reading.known,
            reading.pack,
            "description",
            supposed,
            why_not or reading.gaps,
        )


def settle_pack(
    described: Described, written: Decimal | None, price_of_each: bool
) -> tuple[Decimal, str]:
    """Units in a pack, and why they are not known (a blank text when they are).

    written: in the list's own column, None where that is blank. price_of_each: the price is
    for "each", which of a pack may be one piece or the pack.
    """
    pack = described.pack
    if pack is None:
        return written or Decimal(1), ""
    if written is not None:
        if written == pack:
            return pack, ""
        return written, (
            f"column pack has {plain(written)} but the description {plain(pack)} in a pack"
        )
    if price_of_each and pack > 1:
        return pack, (
            f"the price is for each, yet the description has {plain(pack)} in a pack: write in "
            "column pack how many are sold at once, and the price of one"
        )
    return pack, ""
