"""Consumables, each for its own reason and each counted."""

from decimal import ROUND_CEILING

from estimator.basis import Because, because
from estimator.sizing.records import RunConductor, RunDesign
from estimator.takeoff.raceway_plan import LARGE_FROM
from estimator.takeoff.small_counts import Tally
from estimator.takeoff.taking import Taking, in_weather, run_pointer
from estimator.units import inches, wire_rank

_ENDS = 2


def bought_black(wire: RunConductor) -> bool:
    """Whether a wire is bought black, so that its ends are marked with the colour of its use."""
    return wire_rank(wire.size) >= wire_rank(LARGE_FROM) and wire.colour not in ("black", "bare")


def use_up(taking: Taking, name: str, need: int, asked_by: str, reason: Because) -> None:
    """Need so much of a consumable.

    name: a row of consumables.csv; need: in what its column covers counts.
    """
    taking.consumables.setdefault(name, Tally()).add(need, asked_by, reason)


def settle_consumables(taking: Taking) -> None:
    """Put whole contents of each consumable on the parts list for the sum of its needs."""
    for name, tally in taking.consumables.items():
        row = taking.tables.consumables[name]
        contents = because(
            "Whole contents for all that is needed.",
            row.source,
            needed=tally.count,
            one_covers=row.covers,
        )
        taking.parts.add(
            "consumable",
            {"consumable": row.consumable, "content": row.content},
            -(-tally.count // row.covers),
            tuple(tally.asked_by),
            *tally.because,
            contents,
        )


def take_shared_consumables(taking: Taking) -> None:
    """Consumables of the whole job: sealant, lubricant, tapes, antioxidant."""
    _take_sealant(taking)
    _take_lubricant(taking)
    for run in taking.design.runs:
        if not run.factory_whip and run.conductors:
            _take_tapes(taking, run)


def _take_tapes(taking: Taking, run: RunDesign) -> None:
    pointer = run_pointer(run)
    bound = because(
        "Binds the head of a pull, marks a pair and closes spare wire ends.", "common_practice"
    )
    use_up(taking, "tape", 1, pointer, bound)
    tables = taking.tables.consumables
    marked = _ENDS * sum(wire.count for wire in run.conductors if bought_black(wire))
    if marked and taking.method(run).form != "cable":
        reason = because(
            "From 4 AWG wire is often stocked in black only; its ends may be marked in colour.",
            tables["marking_tape"].source,
            ends=marked,
        )
        use_up(taking, "marking_tape", marked, pointer, reason)
    coated = _ENDS * sum(wire.count for wire in run.conductors if wire.material == "al")
    if coated:
        reason = because(
            "Aluminium conductors are coated where they are landed.",
            tables["antioxidant"].source,
            ends=coated,
        )
        use_up(taking, "antioxidant", coated, pointer, reason)


def _take_sealant(taking: Taking) -> None:
    inlet = taking.job.inlet
    reason = because(
        "Closes the holes in the outer wall and the edge of the inlet box.", "common_practice"
    )
    if in_weather(inlet.exposure, inlet.place):
        use_up(taking, "sealant", 1, "/inlet", reason)
    for run in taking.design.runs:
        if run.wall_penetrations:
            use_up(taking, "sealant", run.wall_penetrations, run_pointer(run), reason)


def _take_lubricant(taking: Taking) -> None:
    long_from = taking.allowance("lubricant_from_run")
    bent_from = taking.allowance("lubricant_from_bends")
    for run in taking.design.runs:
        bends = sum(run.bends_deg)
        hard = run.length_ft > long_from or bends >= bent_from
        if hard and run.trade_size is not None and not run.factory_whip:
            needed = run.length_ft * inches(run.trade_size)
            reason = because(
                "A long pull or one with two bends or more goes in with lubricant, by length and "
                "bore of the raceway.",
                taking.tables.consumables["lubricant"].source,
                run_ft=run.length_ft,
                bends_deg=bends,
                feet_times_inches=needed,
            )
            whole = int(needed.to_integral_value(ROUND_CEILING))
            use_up(taking, "lubricant", whole, run_pointer(run), reason)
