"""How many conductors between a transfer subpanel and the load centre carry current."""

from collections.abc import Sequence

from estimator.basis import Because, because
from estimator.job.records import Circuit
from estimator.sizing.shared_neutrals import Pair


def current_carrying(circuits: Sequence[Circuit], pairs: Sequence[Pair]) -> tuple[int, Because]:
    """Current-carrying conductors of the run, and why.

    The feeder's neutral and a shared one carry the unbalance only; a two-pole circuit's neutral
    too. The neutral of a two-wire circuit carries its whole current.
    """
    paired = {number for pair in pairs for number in pair}
    two_wire = sum(
        circuit.poles == 1 and number not in paired for number, circuit in enumerate(circuits)
    )
    counted = 2 + 2 * two_wire + len(paired) + 2 * sum(circuit.poles == 2 for circuit in circuits)
    return counted, because(
        "Two hots of the feeder, hot and neutral of each two-wire circuit, hots only of two-pole "
        "circuits and shared neutrals; no equipment ground",
        "nec_neutral_counting",
        current_carrying=counted,
        two_wire_circuits=two_wire,
    )
