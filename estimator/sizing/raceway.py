"""The smallest raceway that may hold the conductors of a run."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.sizing.fill import Bundle, fill_limit_percent, fill_percent, holds
from estimator.sizing.tables import SizingTables
from estimator.units import plain, rounded, trade_rank

SMALLEST_OFFERED = "1/2"


@dataclass(frozen=True, slots=True)
class RacewayChoice:
    """A raceway that holds the conductors.

    next_size: one trade size up, None when there is none. one_size: conductors of one size,
    which are counted. by_rounding: more than the limit by that count. jam_ratio: inside diameter
    over conductor diameter when exactly three conductors may jam.
    """

    trade_size: str
    fill_percent: Decimal
    limit_percent: Decimal
    next_size: str | None
    one_size: bool
    by_rounding: bool
    jam_ratio: Decimal | None


def smallest_raceway(
    raceway: str,
    bundle: Bundle,
    nipple: bool,
    tables: SizingTables,
    smallest: str = SMALLEST_OFFERED,
) -> RacewayChoice | None:
    """Smallest trade size that holds the conductors; None when none does.

    bundle: all conductors, equipment ground included. smallest: trade size to begin with.
    """
    count = sum(number for _, number in bundle)
    limit = fill_limit_percent(count, nipple, tables)
    offered = [
        (trade_size, inside)
        for trade_size, inside in tables.raceways[raceway]
        if trade_rank(trade_size) >= trade_rank(smallest)
    ]
    for place, (trade_size, inside) in enumerate(offered):
        if holds(bundle, inside, nipple, tables):
            filled = fill_percent(bundle, inside)
            larger = offered[place + 1][0] if place + 1 < len(offered) else None
            jam = _jam_ratio(bundle, count, inside, tables)
            return RacewayChoice(
                trade_size, filled, limit, larger, len(bundle) == 1, filled > limit, jam
            )
    return None


def _jam_ratio(
    bundle: Bundle, count: int, inside_diameter_in: Decimal, tables: SizingTables
) -> Decimal | None:
    if count != 3:
        return None
    ratio = inside_diameter_in / max(row.diameter_in for row, _ in bundle)
    low, high = tables.limits.jam_ratio_low, tables.limits.jam_ratio_high
    return ratio if low <= ratio <= high else None


def raceway_reasons(choice: RacewayChoice, count: int, nipple: bool) -> tuple[Because, ...]:
    """Why this trade size."""
    reasons = [
        because(
            "Smallest trade size from 1/2 up that holds all conductors, equipment ground included",
            "nec_nipple" if nipple else "nec_ch9_t1",
            conductors=count,
            trade_size=choice.trade_size,
            fill_percent=rounded(choice.fill_percent, 2),
            limit_percent=choice.limit_percent,
        ),
        because("Areas are pi/4 x diameter squared of conductors and raceway", "nec_ch9_notes"),
    ]
    if choice.one_size:
        reasons.append(because("Conductors of one size, counted as Annex C does", "nec_annex_c"))
    if choice.by_rounding:
        reasons.append(
            because("One size only: the count is rounded up from 0.8", "nec_fill_rounding")
        )
    return tuple(reasons)


def raceway_findings(
    choice: RacewayChoice, raceway: str, pointer: str, tables: SizingTables
) -> tuple[Finding, ...]:
    """Notes on a hard pull and on three conductors that may jam."""
    findings = []
    advice = (
        f"Take {choice.next_size} {raceway} if the pull is long or has bends."
        if choice.next_size
        else "Pull slowly and with lubricant."
    )
    if choice.fill_percent >= choice.limit_percent * tables.limits.tight_fill_share:
        findings.append(
            Finding(
                "note",
                "FILL_TIGHT",
                f"{choice.trade_size} {raceway} is filled to "
                f"{plain(rounded(choice.fill_percent, 2))} % of the "
                f"{plain(choice.limit_percent)} % allowed: legal, but a hard pull.",
                pointer,
                "nec_ch9_t1",
                advice,
            )
        )
    if choice.jam_ratio is not None:
        findings.append(
            Finding(
                "note",
                "CONDUCTORS_MAY_JAM",
                f"Three conductors in {choice.trade_size} {raceway}: inside diameter is "
                f"{plain(rounded(choice.jam_ratio, 2))} times the conductor, where they may jam "
                "side by side in a bend.",
                pointer,
                "nec_jam_ratio",
                advice,
            )
        )
    return tuple(findings)
