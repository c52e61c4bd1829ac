"""The contents of a package from its description, where no column tells them."""

from dataclasses import dataclass, field
from decimal import Decimal

from estimator.catalogue.lexicon import load_lexicon
from estimator.catalogue.read_description import read_description
from estimator.takeoff.part_kinds import PartKinds

_MOST_KEPT = 10_000


@dataclass(slots=True)
class PackReader:
    """Reads the packs of one list; like descriptions are read once."""

    kinds: PartKinds
    _known: dict[str, Decimal | None] = field(default_factory=dict)

    def __call__(self, description: str) -> Decimal | None:
        """Units in a pack, None where the description does not tell."""
        if description not in self._known:
            if len(self._known) >= _MOST_KEPT:
                self._known.clear()
            reading = read_description(description, load_lexicon(), self.kinds)
            self._known[description] = reading.pack
        return self._known[description]
