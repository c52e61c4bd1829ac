"""Small things while they are being counted, before spares, bits and whole packs."""

from dataclasses import dataclass, field

from estimator.basis import Because

FastenerKey = tuple[str, str, str]
HoleKey = tuple[str, str]


@dataclass(slots=True)
class Tally:
    """So many of one thing. each_once: one does for the whole job, however many holes."""

    count: int = 0
    each_once: bool = False
    asked_by: list[str] = field(default_factory=list)
    because: list[Because] = field(default_factory=list)

    def add(self, count: int, asked_by: str, reason: Because) -> None:
        """Count more, for one asker and reason."""
        self.count += count
        if asked_by not in self.asked_by:
            self.asked_by.append(asked_by)
        if reason not in self.because:
            self.because.append(reason)


class FastenerCount:
    """Fasteners by (fastener, diameter, length) and holes by (bit, diameter)."""

    __slots__ = ("fasteners", "holes")

    def __init__(self) -> None:
        self.fasteners: dict[FastenerKey, Tally] = {}
        self.holes: dict[HoleKey, Tally] = {}

    def fasten(self, key: FastenerKey, count: int, asked_by: str, reason: Because) -> None:
        """Count fasteners."""
        self.fasteners.setdefault(key, Tally()).add(count, asked_by, reason)

    def drill(
        self, key: HoleKey, count: int, asked_by: str, reason: Because, *, wears_out: bool
    ) -> None:
        """Count holes. wears_out: the bit is spent after so many holes (masonry)."""
        tally = self.holes.setdefault(key, Tally(each_once=not wears_out))
        tally.add(count, asked_by, reason)
