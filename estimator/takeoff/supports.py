"""Straps of raceways: the least legal number for every stretch."""

from decimal import ROUND_CEILING, Decimal

from estimator.basis import Because, because
from estimator.sizing.records import RunDesign
from estimator.takeoff.anchors import fasten
from estimator.takeoff.raceway_plan import RacewayPlan
from estimator.takeoff.table_rows import MethodRow, SupportRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import INCHES_PER_FOOT


def least_supports(length_ft: Decimal, end_ft: Decimal, interval_ft: Decimal) -> int:
    """Fewest supports that hold a stretch between two terminations.

    A support stands within ``end_ft`` of each end and no two neighbours are more than
    ``interval_ft`` apart [ft]. One support in the middle serves both ends of a stretch that
    is not longer than twice ``end_ft``.
    """
    if length_ft <= 0:
        return 0
    beyond = length_ft - 2 * end_ft
    if beyond <= 0:
        return 1
    return 1 + int((beyond / interval_ft).to_integral_value(ROUND_CEILING))


def supports_wanted(
    run: RunDesign,
    rule: SupportRow,
    stretches_ft: tuple[Decimal, ...],
    *,
    unbroken_to_ft: Decimal | None = None,
) -> int:
    """Supports of a run's stretches; none in a short free run or fished in a finished wall.

    unbroken_to_ft: length of a stick, beyond which a fished stretch has a joint and is held.
    """
    if rule.free_to_ft is not None and run.length_ft <= rule.free_to_ft:
        return 0
    end_ft = rule.end_in / INCHES_PER_FOOT
    interval_ft = _interval_ft(run, rule)
    return sum(
        least_supports(length, end_ft, interval_ft)
        for length in stretches_ft
        if not _fished(run, rule, length, unbroken_to_ft)
    )


def _interval_ft(run: RunDesign, rule: SupportRow) -> Decimal:
    """The interval; threaded conduit that runs straight from end to end has a longer one."""
    straight = rule.straight_ft is not None and not run.bends_deg and run.place != "underground"
    return rule.straight_ft if straight and rule.straight_ft is not None else rule.interval_ft


def _fished(run: RunDesign, rule: SupportRow, length_ft: Decimal, to_ft: Decimal | None) -> bool:
    unbroken = to_ft is None or length_ft <= to_ft
    return rule.fished_free and run.finished_wall and unbroken


def take_straps(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    """Straps of a raceway with their fasteners in the wall, and those of expansion fittings."""
    rule = taking.tables.supports.get((run.wiring_method, plan.trade_size))
    if rule is None or plan.nipple:
        return
    count = supports_wanted(run, rule, plan.strapped_ft, unbroken_to_ft=method.stick_ft)
    reason = because(
        "The least number of straps with one near each end of every stretch between boxes and "
        "conduit bodies and no gap wider than the interval"
        + ("; what lies in the earth has none." if run.place == "underground" else "."),
        rule.source,
        run_ft=run.length_ft,
        stretches=len(plan.strapped_ft),
        from_end_in=rule.end_in,
        interval_ft=_interval_ft(run, rule),
        straps=count,
    )
    put_up_straps(taking, run, method, plan.trade_size, count, reason)
    held = because(
        "The barrel of each expansion fitting is held by a strap of its own; the straps beside "
        "it let the conduit slide.",
        "nec_352_44",
        fittings=run.expansion_fittings,
    )
    put_up_straps(taking, run, method, plan.trade_size, run.expansion_fittings, held)


def put_up_straps(
    taking: Taking,
    run: RunDesign,
    method: MethodRow,
    trade_size: str,
    count: int,
    reason: Because,
) -> None:
    """Straps of a raceway, and what holds them to the run's surface."""
    pointer = run_pointer(run)
    values = {"raceway": method.fittings, "trade_size": trade_size, "style": method.strap}
    taking.parts.add("raceway_strap", values, count, pointer, reason)
    fasten(taking, method.strap, count, run.surface, pointer)


def take_whip_straps(taking: Taking, run: RunDesign, trade_size: str) -> None:
    """Straps of a factory whip that is longer than a flexible whip may hang free."""
    rule = taking.tables.supports["FMC", trade_size]
    if run.length_ft <= taking.allowance("flexible_whip_free_to") or run.finished_wall:
        return
    count = supports_wanted(run, rule, (run.length_ft,))
    pointer = run_pointer(run)
    reason = because(
        "A factory whip this long is strapped like the flexible conduit that it is.",
        rule.source,
        run_ft=run.length_ft,
        from_end_in=rule.end_in,
        interval_ft=rule.interval_ft,
        straps=count,
    )
    taking.parts.add(
        "raceway_strap",
        {"raceway": "FMC", "trade_size": trade_size, "style": "one-hole"},
        count,
        pointer,
        reason,
    )
    fasten(taking, "one-hole", count, run.surface, pointer)
