"""What the conductors of a run come to, whichever kind of run it is."""

from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job, Run, TerminalTemperature
from estimator.sizing.ampacity import (
    Ampacity,
    Conditions,
    Demand,
    OfferedConductors,
    ampacity_of,
    offered_sizes,
    smallest_conductor,
)
from estimator.sizing.records import Role, RunConductor
from estimator.sizing.tables import SizingTables
from estimator.units import INCHES_PER_FOOT, plain

COOL_C = Decimal(30)


@dataclass(frozen=True, slots=True)
class ConductorPlan:
    """Conductors of one run and how they were found.

    overcurrent_a, ampacity_a and enough_without_drop belong to its largest ungrounded
    conductors. drop_*: per cent of the circuit's voltage, not rounded.
    """

    conductors: tuple[RunConductor, ...]
    current_carrying: int
    factory_whip: bool
    overcurrent_a: int
    ampacity_a: Decimal
    enough_without_drop: str
    drop_percent: Decimal
    drop_at_load_percent: Decimal | None
    drop_one_leg_percent: Decimal | None
    because: tuple[Because, ...]
    findings: tuple[Finding, ...]


NO_CONDUCTORS = ConductorPlan(
    (),
    0,
    False,
    0,
    Decimal(0),
    "",
    Decimal(0),
    None,
    None,
    (because("No conductors are designed for this run", "own_convention"),),
    (),
)


def is_cable(run: Run, tables: SizingTables) -> bool:
    """Whether a run is a cable and not conductors in a raceway."""
    return tables.wiring_methods[run.wiring_method].form == "cable"


def is_nipple(run: Run, tables: SizingTables) -> bool:
    """Whether a run is a raceway short enough to be a nipple."""
    return (
        not is_cable(run, tables) and run.length_ft * INCHES_PER_FOOT <= tables.limits.nipple_max_in
    )


def conditions_of(job: Job, run: Run, counted: int, tables: SizingTables) -> Conditions:
    """What conductors meet on this run."""
    return Conditions(
        material=run.conductor_material,
        insulation=run.wiring_method if is_cable(run, tables) else run.insulation,
        ambient_c=run.ambient_c,
        counted=counted,
        nipple=is_nipple(run, tables),
        terminal_c=_weaker_terminal(job, run),
        code_edition=job.site.code_edition,
    )


def _weaker_terminal(job: Job, run: Run) -> TerminalTemperature:
    marked: dict[str, TerminalTemperature] = {
        "inlet": job.inlet.terminal_temp_c,
        "transfer": job.transfer.terminal_temp_c,
        "load_centre": job.load_centre.terminal_temp_c,
    }
    return min(marked[run.from_], marked[run.to])


def conductor_for(
    demand: Demand,
    conditions: Conditions,
    pointer: str,
    tables: SizingTables,
    offered: OfferedConductors | None = None,
) -> tuple[Ampacity, tuple[Finding, ...]]:
    """The smallest conductor, or, with an error, the one that would do in a cool nipple.

    offered: those for the demand's device under the same conditions, when they are at hand.
    """
    offered = offered or OfferedConductors(demand.overcurrent_a, conditions, tables)
    found = offered.smallest(demand)
    if found is not None:
        return found, ()
    cool = replace(conditions, ambient_c=min(conditions.ambient_c, COOL_C), nipple=True)
    *_, largest = offered_sizes(conditions, tables)
    found = smallest_conductor(demand, cool, tables) or ampacity_of(
        largest, demand.overcurrent_a, cool, tables
    )
    assert found is not None  # a cool conductor of a listed size has an ampacity
    error = Finding(
        "error",
        "NO_CONDUCTOR_FITS",
        f"No {conditions.insulation} conductor up to {largest} carries {demand.overcurrent_a} A "
        f"at {plain(conditions.ambient_c)} C with {conditions.counted} current-carrying "
        f"conductors together; {found.size} is shown as for 30 C and without bundling. "
        "Conductors in parallel and feeder taps are not offered.",
        pointer,
        "nec_310_15_b1",
        "Move the run to a cooler place, split the circuits over two raceways, or use "
        "conductors with 90 C insulation in a raceway.",
    )
    return found, (error,)


def run_conductor(
    role: Role, size: str, colour: str, count: int, serves: str, run: Run, tables: SizingTables
) -> RunConductor:
    """Like conductors over the length of a run."""
    return RunConductor(
        role,
        size,
        run.conductor_material,
        run.wiring_method if is_cable(run, tables) else run.insulation,
        colour,
        count,
        run.length_ft,
        serves,
    )
