"""Counted fasteners with their spares, and the bits that drill their holes."""

from decimal import ROUND_CEILING

from estimator.basis import because
from estimator.money import HUNDRED
from estimator.takeoff.consumables import use_up
from estimator.takeoff.taking import Taking

CARBIDE = "carbide"


def settle_fasteners(taking: Taking) -> None:
    """Put the counted fasteners on the parts list with spares, and bits for the holes."""
    spare = taking.tables.allowances["fastener_spare"]
    least = int(taking.allowance("fastener_spare_least"))
    for (fastener, diameter, length), tally in taking.fasteners.fasteners.items():
        share = (tally.count * spare.value / HUNDRED).to_integral_value(ROUND_CEILING)
        spares = max(least, int(share))
        reason = because(
            "Spare fasteners, as some strip or drop.",
            spare.source,
            needed=tally.count,
            spare_percent=spare.value,
            spare_least=least,
            spare=spares,
        )
        taking.parts.add(
            "fastener",
            {"fastener": fastener, "diameter": diameter, "length_in": length},
            tally.count + spares,
            tuple(tally.asked_by),
            *tally.because,
            reason,
        )
    _settle_bits(taking)
    _take_dust_bags(taking)


def _settle_bits(taking: Taking) -> None:
    life = taking.tables.allowances["holes_per_masonry_bit"]
    for (bit, diameter), tally in taking.fasteners.holes.items():
        bits = -(-tally.count // int(life.value)) if not tally.each_once else 1
        reason = (
            because("A bit is spent after so many masonry holes.", life.source, holes=life.value)
            if not tally.each_once
            else because("One bit drills all of them.", life.source, holes=tally.count)
        )
        taking.parts.add(
            "drill_bit",
            {"bit": bit, "diameter": diameter},
            bits,
            tuple(tally.asked_by),
            *tally.because,
            reason,
        )


def _take_dust_bags(taking: Taking) -> None:
    """Bags of the vacuum that takes up the dust of holes in masonry and stucco."""
    of_a_wall = taking.allowance("wall_hole_dust")
    through_walls = {surface.hole_bit for surface in taking.tables.surfaces.values()}
    for (bit, _), tally in taking.fasteners.holes.items():
        if CARBIDE not in bit:
            continue
        dust = tally.count * (int(of_a_wall) if bit in through_walls else 1)
        reason = because(
            "Dust of masonry and stucco holds silica and is taken up by a vacuum with a fine "
            "filter; a hole through a wall makes as much of it as so many anchor holes.",
            "osha_1926_1153",
            anchor_holes_of_a_wall_hole=of_a_wall,
        )
        for pointer in tally.asked_by:
            use_up(taking, "dust_bag", 0, pointer, reason)
        use_up(taking, "dust_bag", dust, tally.asked_by[0], reason)
