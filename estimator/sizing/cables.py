"""Cables as they are made: sizes, the ground inside, and how far drop may raise them."""

from collections.abc import Mapping
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Material, Run
from estimator.sizing.grounding import equipment_ground
from estimator.sizing.table_rows import ConductorRow
from estimator.sizing.tables import SizingTables
from estimator.sizing.voltage_drop import DropLimit, size_within_drop
from estimator.units import circle_area_in2, wire_rank

Ohms = Mapping[str, Decimal]


def made_sizes(run: Run, tables: SizingTables) -> Mapping[str, str] | None:
    """Sizes in which the cable of a run is made, with the ground inside; None for others."""
    return tables.cables.get((run.wiring_method, run.conductor_material))


def run_ground(run: Run, overcurrent_a: int, enough: str, used: str, tables: SizingTables) -> str:
    """Equipment ground of a run: in a cable as made, in a raceway by the table.

    enough: size that ampacity asks for. used: size that is built.
    """
    made = made_sizes(run, tables)
    if made is not None and used in made:
        return made[used]
    return equipment_ground(overcurrent_a, run.conductor_material, enough, used, tables)


def ground_reason(
    run: Run, overcurrent_a: int, enough: str, used: str, tables: SizingTables
) -> Because:
    """Why the equipment ground has its size."""
    size = run_ground(run, overcurrent_a, enough, used, tables)
    made = made_sizes(run, tables)
    if made is not None and used in made:
        return because(
            f"Equipment ground as it is made in {run.wiring_method} of {used}; the table asks for "
            "no larger one",
            "nec_250_122",
            overcurrent_a=overcurrent_a,
            size=size,
            least_size=equipment_ground(
                overcurrent_a, run.conductor_material, enough, used, tables
            ),
        )
    raised = used != enough
    return because(
        "Equipment ground by the overcurrent rating"
        + (", raised in proportion to the hots" if raised else ""),
        "nec_egc_upsize" if raised else "nec_250_122",
        overcurrent_a=overcurrent_a,
        size=size,
    )


def ground_is_enough(
    run: Run, overcurrent_a: int, enough: str, used: str, tables: SizingTables
) -> bool:
    """Whether the ground that is built is not below the one that the rule asks for."""
    wanted = equipment_ground(overcurrent_a, run.conductor_material, enough, used, tables)
    return wire_rank(run_ground(run, overcurrent_a, enough, used, tables)) >= wire_rank(wanted)


def drop_sizes(run: Run, overcurrent_a: int, enough: str, tables: SizingTables) -> Ohms:
    """Sizes to which voltage drop may raise a run, with their ohms per 1000 ft.

    A cable is raised only to a size whose ground as made follows; ``enough`` is always there.
    """
    ohms = _all_ohms(run, tables)
    made = made_sizes(run, tables)
    if made is None:
        return ohms
    return {
        size: value
        for size, value in ohms.items()
        if size == enough
        or (size in made and ground_is_enough(run, overcurrent_a, enough, size, tables))
    }


def ground_held_back(
    run: Run, enough: str, used: str, limit: DropLimit, pointer: str, tables: SizingTables
) -> tuple[Finding, ...]:
    """A warning when a larger cable would keep the drop but its ground would be too small."""
    made = made_sizes(run, tables)
    if made is None:
        return ()
    ohms = {
        size: ohm for size, ohm in _all_ohms(run, tables).items() if size in made or size == enough
    }
    wanted, reached = size_within_drop(enough, limit, ohms)
    if not reached or wire_rank(wanted) <= wire_rank(used):
        return ()
    return (
        Finding(
            "warning",
            "CABLE_GROUND_NOT_RAISED",
            f"{run.wiring_method} of {wanted} would keep the voltage drop, but its ground is made "
            f"{made[wanted]}, less than the rule asks when {enough} is raised to {wanted}; the run "
            f"stays at {used}.",
            pointer,
            "nec_egc_upsize",
            "Use conductors in a raceway, where the equipment ground is raised too, or raise "
            f"voltage_drop_target_percent to stay with {used}.",
        ),
    )


def check_cable_made(run: Run, pointer: str, tables: SizingTables) -> tuple[Finding, ...]:
    """An error when the cable is not made of this material."""
    if tables.wiring_methods[run.wiring_method].form != "cable" or made_sizes(run, tables):
        return ()
    metal = {"cu": "copper", "al": "aluminium"}
    material = run.conductor_material
    others = ", ".join(cable for cable, made_of in tables.cables if made_of == material)
    return (
        Finding(
            "error",
            "CABLE_NOT_MADE",
            f"{run.wiring_method} with {metal[material]} conductors is not among the cables that "
            "are made; its conductors are sized all the same.",
            f"{pointer}/conductor_material",
            "cable_data_sheet",
            f"Use copper conductors, or {metal[material]} in {others} or in a raceway.",
        ),
    )


def cable_as_conductor(
    cable: str, material: Material, size: str, conductors: int, tables: SizingTables
) -> ConductorRow | None:
    """A cable as the one conductor as which a raceway counts it; None when not known.

    A flat cable counts with its longer axis as diameter. conductors: without the ground.
    """
    major = tables.cable_major_in.get((cable, material, size, conductors))
    if major is None:
        return None
    return ConductorRow(cable, size, major, circle_area_in2(major), "nec_multiconductor_fill")


def _all_ohms(run: Run, tables: SizingTables) -> Ohms:
    conduit = tables.wiring_methods[run.wiring_method].conduit
    return tables.ohm_per_kft[run.conductor_material, conduit]
