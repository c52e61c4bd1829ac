"""Aluminium conductors and the terminals and splices that they meet."""

from collections.abc import Iterator

from estimator.finding import Finding
from estimator.job.records import Job, Node
from estimator.sizing.equipment import NODE_NAMES
from estimator.sizing.feed import Feed
from estimator.sizing.tables import SizingTables

MOVES_CIRCUITS = ("manual_switch", "subpanel")


def check_aluminium(job: Job, feed: Feed, tables: SizingTables) -> tuple[Finding, ...]:
    """Findings on aluminium in the runs and in the house's own circuits."""
    return (*_runs(job, feed, tables), *_outdoors(job), *_house_circuits(job))


def _runs(job: Job, feed: Feed, tables: SizingTables) -> Iterator[Finding]:
    ratings: dict[Node, int] = {
        "inlet": feed.inlet.amps,
        "transfer": job.transfer.rating_a,
        "load_centre": job.load_centre.bus_a,
    }
    for index, run in enumerate(job.runs):
        if run.conductor_material != "al":
            continue
        ends: tuple[Node, ...] = (run.from_, run.to)
        refused = [end for end in ends if _takes(end, ratings[end], tables) == "copper_only"]
        pointer = f"/runs/{index}/conductor_material"
        if refused:
            named = " and ".join(f"the {ratings[end]} A {NODE_NAMES[end]}" for end in refused)
            yield Finding(
                "error",
                "AL_ON_COPPER_TERMINAL",
                f"Aluminium may not be landed on {named}: terminals of that rating are made for "
                "copper only.",
                pointer,
                "nec_conductor_materials",
                "Use copper, or splice to copper with connectors listed for both metals in a box "
                "ahead of the equipment.",
            )
        else:
            named = " and ".join(NODE_NAMES[end] for end in ends)
            yield Finding(
                "warning",
                "AL_TERMINALS",
                f"The terminals of {named} have to be marked for aluminium.",
                pointer,
                "nec_conductor_materials",
                "Look for AL or AL-CU on the terminals before buying, strip without nicking, and "
                "tighten to the marked torque; otherwise use copper.",
            )


def _outdoors(job: Job) -> Iterator[Finding]:
    for index, run in enumerate(job.runs):
        if run.conductor_material != "al" or run.place == "indoor":
            continue
        yield Finding(
            "note",
            "AL_NEAR_EARTH",
            "Aluminium corrodes in wet earth and masonry: outdoors an aluminium ground may not end "
            "within 18 in of the earth, save in an enclosure or connector listed for it.",
            f"/runs/{index}/conductor_material",
            "nec_250_120_b",
            "End it in a listed outdoor enclosure, with terminals marked for aluminium.",
        )


def _takes(end: Node, rated_a: int, tables: SizingTables) -> str:
    for row in tables.terminal_materials:
        if row.equipment == end and (row.rated_a_max is None or rated_a <= row.rated_a_max):
            return row.takes
    raise LookupError(f"the table of terminal materials has no row for {end} of {rated_a} A")


def _house_circuits(job: Job) -> Iterator[Finding]:
    if job.transfer.method not in MOVES_CIRCUITS:
        return
    named = [circuit.name for circuit in job.circuits if circuit.conductor_material == "al"]
    if not named:
        return
    yield Finding(
        "warning",
        "AL_CIRCUIT_SPLICE",
        f"The house wiring of {', '.join(named)} is aluminium and would be spliced to the "
        "copper wires of the transfer equipment.",
        "/circuits",
        "nec_conductor_materials",
        "Use connectors listed for copper with aluminium, no plain twist-on connectors, and "
        "tighten them to their torque.",
    )
