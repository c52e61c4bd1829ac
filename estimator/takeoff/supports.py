"""Straps and staples: the least legal number for every stretch."""

from decimal import ROUND_CEILING, Decimal

from estimator.basis import because
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


def supports_wanted(run: RunDesign, rule: SupportRow, stretches_ft: tuple[Decimal, ...]) -> int:
    """Supports of a run; none underground, in a short free run or fished in a finished wall."""
    if run.place == "underground" or (rule.fished_free and run.finished_wall):
        return 0
    if rule.free_to_ft is not None and run.length_ft <= rule.free_to_ft:
        return 0
    end_ft = rule.end_in / INCHES_PER_FOOT
    return sum(least_supports(length, end_ft, rule.interval_ft) for length in stretches_ft)


def take_straps(taking: Taking, run: RunDesign, method: MethodRow, plan: RacewayPlan) -> None:
    """Straps of a raceway with their fasteners in the wall."""
    rule = taking.tables.supports.get((run.wiring_method, plan.trade_size))
    if rule is None or plan.nipple:
        return
    count = supports_wanted(run, rule, plan.stretches_ft)
    pointer = run_pointer(run)
    reason = because(
        "The least number of straps with one near each end of every stretch between boxes and "
        "conduit bodies and no gap wider than the interval.",
        rule.source,
        run_ft=run.length_ft,
        stretches=len(plan.stretches_ft),
        from_end_in=rule.end_in,
        interval_ft=rule.interval_ft,
        straps=count,
    )
    taking.parts.add(
        "raceway_strap",
        {"raceway": method.fittings, "trade_size": plan.trade_size, "style": method.strap},
        count,
        pointer,
        reason,
    )
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


def take_staples(taking: Taking, run: RunDesign, staple: str) -> None:
    """Staples of a cable; a staple is its own fastener."""
    rule = taking.tables.supports[run.wiring_method, ""]
    count = supports_wanted(run, rule, run.segments_ft)
    reason = because(
        "The least number of staples with one near each box and no gap wider than the interval.",
        rule.source,
        run_ft=run.length_ft,
        from_end_in=rule.end_in,
        interval_ft=rule.interval_ft,
        staples=count,
    )
    taking.parts.add(
        "cable_staple",
        {"cable": run.wiring_method, "style": staple},
        count,
        run_pointer(run),
        reason,
    )
