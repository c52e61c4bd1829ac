"""How many conductors of a run carry current and so heat each other."""

from collections.abc import Sequence

from estimator.basis import Because, because
from estimator.job.records import Circuit, System
from estimator.sizing.feed import Feed
from estimator.sizing.shared_neutrals import own_neutrals


def feeder_count(feed: Feed) -> tuple[int, Because]:
    """Current-carrying conductors of the feeder, and why.

    A neutral that carries only the unbalance of both legs is not counted; with one leg it
    carries the whole current and is.
    """
    hots = 1 if feed.inlet.system == "120" else 2
    neutral = feed.inlet.has_neutral and feed.system == "120"
    return hots + neutral, because(
        "Neutral counted: on one leg it carries the whole current"
        if neutral
        else "Hots only: the neutral carries only the unbalance; the equipment ground never counts",
        "nec_neutral_counting",
        current_carrying=hots + neutral,
    )


def switch_run_count(
    circuits: Sequence[Circuit], system: System, *, switched_neutral: bool
) -> tuple[int, Because]:
    """Current-carrying conductors between a per-circuit switch and the load centre.

    Two a pole: line in and load out both carry the load while the house is on the utility. So
    do the two neutrals of a circuit of one hot, where the switch takes the neutral over; those
    of a two-pole circuit, or of a pair on both legs, carry only the unbalance.
    """
    hots = 2 * sum(circuit.poles for circuit in circuits)
    if switched_neutral:
        neutrals = 2 * sum(
            _carries_the_whole([circuits[number] for number in numbers], system)
            for numbers in own_neutrals(circuits)
        )
        text = (
            "Two a pole (line in, load out), and both neutrals of each circuit of one hot, which "
            "carry its whole current"
        )
    else:
        neutrals = int(system == "120")
        text = "Two a pole (line in, load out); the common neutral " + (
            "carries the sum of one leg and is counted" if neutrals else "is not counted"
        )
    return hots + neutrals, because(text, "nec_neutral_counting", current_carrying=hots + neutrals)


def _carries_the_whole(circuits: Sequence[Circuit], system: System) -> bool:
    return system == "120" or sum(circuit.poles for circuit in circuits) == 1
