"""Whether the wiring space of the load centre holds the added conductors and their splices."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Circuit, Job
from estimator.sizing.box_fill import BoxContents, box_fill_in3, fits_box_fill
from estimator.sizing.fill import HUNDRED
from estimator.sizing.records import RunDesign
from estimator.sizing.shared_neutrals import own_neutrals
from estimator.sizing.tables import SizingTables
from estimator.units import circle_area_in2, larger_wire, plain, rounded, wire_rank

HOUSE_WIRE = "THHN/THWN-2"


@dataclass(frozen=True, slots=True)
class SpliceSpace:
    """One cross-section of the wiring space, where all that is added lies side by side [in2].

    conductors_in2: the run's conductors, and the house wire at each splice. splices_in2: the
    splices, each as a circle of its tabled diameter, which is common practice and no rule.
    """

    space_in2: Decimal
    conductors_in2: Decimal
    splices: int
    splices_in2: Decimal
    over_conductor_limit: bool
    over_splice_limit: bool


def spliced_wires(job: Job, circuit: Circuit, *, own_neutral: bool = True) -> int:
    """Splices that one circuit makes in the load centre.

    own_neutral: False for the second of two circuits with one neutral.

    A per-circuit switch lengthens each hot, and the neutral too when it switches that; the
    line lead takes the breaker's terminal. A subpanel lengthens hots, neutral and ground.
    """
    if job.transfer.method == "manual_switch":
        return circuit.poles + (job.transfer.switched_neutral and own_neutral)
    if job.transfer.method == "subpanel":
        return circuit.poles + own_neutral + 1
    return 0


def splice_space(job: Job, run: RunDesign, tables: SizingTables) -> SpliceSpace:
    """The wiring space of the load centre with what the run brings into it.

    The space is taken as gutter_in square; what else lies in it already is not known.
    Source: 312.8(A), 40 % for conductors and 75 % with splices.
    """
    conductors = sum(
        (
            tables.dimensions[conductor.insulation][conductor.size].area_in2 * conductor.count
            for conductor in run.conductors
        ),
        Decimal(0),
    )
    lengthened = {conductor.serves: conductor.size for conductor in run.conductors}
    house_wires = tables.dimensions[HOUSE_WIRE]
    joined: Counter[tuple[str, str]] = Counter()
    with_neutral = {numbers[0] for numbers in own_neutrals(job.circuits)}
    for number, circuit in enumerate(job.circuits):
        count = spliced_wires(job, circuit, own_neutral=number in with_neutral)
        size = lengthened.get(circuit.name)
        if size is None:
            continue
        house = circuit.conductor_size if circuit.conductor_size in house_wires else size
        joined[house, larger_wire(size, house)] += count
    splices_area = Decimal(0)
    for (house, larger), count in joined.items():
        conductors += house_wires[house].area_in2 * count
        splices_area += _splice_area_in2(larger, tables) * count
    space = job.load_centre.gutter_in * job.load_centre.gutter_in
    limits = tables.limits
    return SpliceSpace(
        space,
        conductors,
        joined.total(),
        splices_area,
        conductors * HUNDRED > space * limits.panel_fill_percent,
        (conductors + splices_area) * HUNDRED > space * limits.panel_fill_with_splices_percent,
    )


def _splice_area_in2(size: str, tables: SizingTables) -> Decimal:
    for row in tables.splice_sizes:
        if wire_rank(size) <= wire_rank(row.up_to):
            return circle_area_in2(row.diameter_in)
    raise LookupError(f"the splice table has no row for {size}")


def check_splice_space(
    job: Job, runs: Sequence[RunDesign], tables: SizingTables
) -> tuple[Finding, ...]:
    """A note on splices in the load centre, and a warning when they crowd it."""
    findings: list[Finding] = []
    for run in runs:
        cable = tables.wiring_methods[run.wiring_method].form == "cable"
        if "inlet" in (run.from_, run.to) or not run.conductors or cable:
            continue
        space = splice_space(job, run, tables)
        if space.splices:
            findings.append(_allowed(space, tables))
        if space.over_conductor_limit or space.over_splice_limit:
            findings.append(_crowded(job, run, space, tables))
    return tuple(findings)


def _allowed(space: SpliceSpace, tables: SizingTables) -> Finding:
    limits = tables.limits
    return Finding(
        "note",
        "SPLICES_IN_LOAD_CENTRE",
        f"The circuits are spliced inside the load centre ({_counted(space)}), which is "
        f"allowed when there is room: {plain(limits.panel_fill_percent)} % of a cross-section for "
        f"conductors, {plain(limits.panel_fill_with_splices_percent)} % with splices.",
        "/load_centre",
        "nec_panel_splices",
        "Ask the inspector: some want the splices in a box beside the load centre.",
    )


def _counted(space: SpliceSpace) -> str:
    return f"{space.splices} splice{'' if space.splices == 1 else 's'}"


def _crowded(job: Job, run: RunDesign, space: SpliceSpace, tables: SizingTables) -> Finding:
    limits = tables.limits
    over = []
    if space.over_conductor_limit:
        over.append(
            f"conductors {plain(rounded(space.conductors_in2, 2))} in2, over "
            f"{plain(limits.panel_fill_percent)} %"
        )
    if space.over_splice_limit:
        over.append(
            f"with {_counted(space)} side by side "
            f"{plain(rounded(space.conductors_in2 + space.splices_in2, 2))} in2, over "
            f"{plain(limits.panel_fill_with_splices_percent)} %"
        )
    return Finding(
        "warning",
        "LOAD_CENTRE_CROWDED",
        f"The wiring space of {plain(job.load_centre.gutter_in)} x "
        f"{plain(job.load_centre.gutter_in)} in ({plain(space.space_in2)} in2) is crowded by what "
        f"is added: {'; '.join(over)}. A splice is taken as large as its connector, which is "
        "practice and no rule.",
        "/load_centre/gutter_in",
        "nec_panel_splices",
        "Stagger the splices, splice in a junction box beside the load centre"
        f"{_box(job, run, tables)}, or measure the real wiring space.",
    )


def _box(job: Job, run: RunDesign, tables: SizingTables) -> str:
    """Volume of a box that takes the run, and hot, neutral in and out and ground a circuit."""
    sizes = [conductor.size for conductor in run.conductors]
    house = [circuit.conductor_size for circuit in job.circuits]
    if not fits_box_fill([*sizes, *house], tables):
        return ""
    circuits = [(c.size, c.count) for c in run.conductors if c.role != "equipment_ground"]
    circuits += [(circuit.conductor_size, circuit.poles + 2) for circuit in job.circuits]
    grounds = [(c.size, c.count) for c in run.conductors if c.role == "equipment_ground"]
    grounds += [(size, 1) for size in house]
    volume = box_fill_in3(
        BoxContents(conductors=circuits, grounds=grounds),
        tables.editions[job.site.code_edition],
        tables,
    )
    return f" of at least {plain(volume)} in3"
