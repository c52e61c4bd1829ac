"""Consumables, each for its own reason and each counted."""

from estimator.basis import Because, because
from estimator.takeoff.raceway_plan import has_large_wire
from estimator.takeoff.small_counts import Tally
from estimator.takeoff.taking import Taking, in_weather, run_pointer


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
    pulled = [run for run in taking.design.runs if not run.factory_whip and run.conductors]
    if pulled:
        reason = because(
            "Binds the head of a pull, marks a pair and closes spare wire ends.", "common_practice"
        )
        use_up(taking, "tape", 1, run_pointer(pulled[0]), reason)
    large = [run for run in pulled if has_large_wire(run)]
    if large:
        row = taking.tables.consumables["marking_tape"]
        reason = because(
            "From 4 AWG wire is often stocked in black only; its ends may be marked in colour.",
            row.source,
        )
        use_up(taking, "marking_tape", 1, run_pointer(large[0]), reason)
    aluminium = [run for run in pulled if any(wire.material == "al" for wire in run.conductors)]
    if aluminium:
        row = taking.tables.consumables["antioxidant"]
        reason = because("Aluminium conductors are coated where they are landed.", row.source)
        use_up(taking, "antioxidant", 1, run_pointer(aluminium[0]), reason)


def _take_sealant(taking: Taking) -> None:
    inlet = taking.job.inlet
    reason = because(
        "Closes the holes in the outer wall and the edge of the inlet box.", "common_practice"
    )
    if in_weather(inlet.exposure, inlet.place):
        use_up(taking, "sealant", 1, "/inlet", reason)
        return
    through = [run for run in taking.design.runs if run.wall_penetrations]
    if through:
        use_up(taking, "sealant", 1, run_pointer(through[0]), reason)


def _take_lubricant(taking: Taking) -> None:
    long_from = taking.allowance("lubricant_from_run")
    bent_from = taking.allowance("lubricant_from_bends")
    for run in taking.design.runs:
        bends = sum(run.bends_deg)
        hard = run.length_ft > long_from or bends >= bent_from
        if hard and run.trade_size is not None and not run.factory_whip:
            reason = because(
                "A long pull or one with two bends or more goes in with lubricant.",
                "common_practice",
                run_ft=run.length_ft,
                bends_deg=bends,
            )
            use_up(taking, "lubricant", 1, run_pointer(run), reason)
            return
