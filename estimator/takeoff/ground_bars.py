"""Ground bars of their own, where neutral and ground are not joined."""

from estimator.basis import because
from estimator.takeoff.taking import Taking


def take_ground_bar(taking: Taking, grounds: int, asked_by: str, where: str) -> None:
    """The smallest stocked bar that lands so many grounds, one a terminal."""
    bars = taking.tables.ground_bars
    bar = next((row for row in bars if row.terminals >= grounds), bars[-1])
    reason = because(
        f"Neutral and ground are apart in the {where}: grounds have a bar of their own, one a "
        "terminal.",
        "nec_subpanel_neutral",
        grounds=grounds,
        terminals=bar.terminals,
    )
    taking.parts.add("ground_bar", {"terminals": str(bar.terminals)}, 1, asked_by, reason)


def largest_bar(taking: Taking) -> int:
    """Terminals of the largest stocked bar."""
    return taking.tables.ground_bars[-1].terminals
