"""The transfer equipment before circuits are placed on it, whichever kind it is."""

from dataclasses import dataclass

from estimator.basis import Because
from estimator.finding import Finding
from estimator.job.records import Node, TransferMethod
from estimator.sizing.records import AddedBreaker

CIRCUITS_STAY: tuple[TransferMethod, ...] = ("interlock", "automatic_switch")
NODE_NAMES: dict[Node, str] = {
    "inlet": "inlet",
    "transfer": "transfer equipment",
    "load_centre": "load centre",
}


@dataclass(frozen=True, slots=True)
class Equipment:
    """The equipment chosen.

    positions: for circuits, or for an interlock the spaces of its breaker in the load centre.
    needed: poles that ask for a position. largest_circuit_a: rating that no circuit on it may
    pass, None where circuits stay in the load centre. breakers: fitted for the equipment.
    """

    positions: int
    rating_a: int
    needed: int
    largest_circuit_a: int | None
    breakers: tuple[AddedBreaker, ...]
    because: tuple[Because, ...]

    @property
    def per_leg(self) -> tuple[int, int]:
        """Positions on L1 (odd numbers) and on L2 (even numbers)."""
        return (self.positions + 1) // 2, self.positions // 2


def rating_not_made(kind: str, rating_a: int, largest_a: int, instead: str) -> Finding:
    """An error that no transfer equipment of this kind is made for so high a rating [A]."""
    return Finding(
        "error",
        "TRANSFER_RATING_NOT_MADE",
        f"No {kind} is made for {rating_a} A; the largest is for {largest_a} A. The design goes on "
        f"with {rating_a} A.",
        "/transfer/rating_a",
        "nec_listing_instructions",
        f"Use a rating and an inlet of {largest_a} A or less, or {instead}; if there is such a "
        "listed one after all, state its positions as spaces.",
    )
