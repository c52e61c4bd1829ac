"""What could be read from a cramped description, and what could not."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because
from estimator.takeoff.records import Attributes


@dataclass(frozen=True, slots=True)
class Reading:
    """A description as kind and attributes.

    kind: None when no kind of ours is named, or more than one could be. known: the attributes
    that were read, in the order of the kind; missing: the names of the others. pack: units
    that are sold at once, None when not written. unread: words and figures without a place.
    ambiguities: what can be read in several ways, and so was not. implied: names of known
    attributes that are not written but usual. corrected: words taken for their only neighbour.
    because: how it was read.
    """

    kind: str | None
    known: Attributes
    missing: tuple[str, ...]
    pack: Decimal | None
    unread: tuple[str, ...]
    ambiguities: tuple[str, ...]
    implied: tuple[str, ...]
    corrected: tuple[str, ...]
    because: tuple[Because, ...]

    @property
    def complete(self) -> bool:
        """Whether the whole text was understood and names one part."""
        return self.kind is not None and not (self.missing or self.unread or self.ambiguities)

    @property
    def gaps(self) -> str:
        """What keeps it from being complete, as one sentence; empty when it is."""
        words: list[str] = []
        if self.kind is None and not self.ambiguities:
            words.append("no kind of part that we know is named")
        if self.missing:
            words.append(f"{', '.join(self.missing)} not given")
        if self.unread:
            words.append(f"not understood: {', '.join(self.unread)}")
        words += self.ambiguities
        return "; ".join(words)
