"""Counted fasteners with their spares, and the bits that drill their holes."""

from decimal import ROUND_CEILING

from estimator.basis import because
from estimator.money import HUNDRED
from estimator.takeoff.taking import Taking


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
