"""Pull points, so that no stretch of raceway bends more than it may, and impossible bends."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Run
from estimator.sizing.tables import SizingTables
from estimator.units import plain, rounded

ELBOW_DEG = Decimal(90)


def pull_points(bends_deg: Sequence[Decimal], max_deg: Decimal) -> int:
    """Pull points needed when bends are taken in order [1].

    bends_deg: bends along the run; an entry over max_deg is a total of 90-degree bends.
    """
    points = 0
    since_last = Decimal(0)
    for bend in _single_bends(bends_deg, max_deg):
        if since_last + bend > max_deg:
            points += 1
            since_last = Decimal(0)
        since_last += bend
    return points


def _single_bends(bends_deg: Sequence[Decimal], max_deg: Decimal) -> Iterable[Decimal]:
    for bend in bends_deg:
        left = bend
        if bend > max_deg:
            while left > ELBOW_DEG:
                yield ELBOW_DEG
                left -= ELBOW_DEG
        yield left


def even_segments(length_ft: Decimal, points: int) -> tuple[Decimal, ...]:
    """Stretches between boxes when pull points are spread evenly; they sum to the length."""
    if points == 0:
        return (length_ft,)
    each = rounded(length_ft / (points + 1), 2)
    return (*[each] * points, length_ft - each * points)


def check_bends(run: Run, pointer: str, tables: SizingTables) -> Iterator[Finding]:
    """Errors on bends that nobody can make or pull through.

    A run told by one figure is taken as a total, so only a list can name a single bend.
    """
    limits = tables.limits
    total = sum(run.bends_deg, Decimal(0))
    sharp = [bend for bend in run.bends_deg if bend > limits.single_bend_max_deg]
    if len(run.bends_deg) > 1 and sharp:
        yield Finding(
            "error",
            "BEND_IMPOSSIBLE",
            f"A single bend of {plain(max(sharp))} degrees turns past its own beginning; no bend "
            f"is more than {plain(limits.single_bend_max_deg)}.",
            f"{pointer}/bends_deg",
            "nec_bends_360",
            "List each bend by itself in order, such as [90, 90].",
        )
    # A cable is not pulled through its bends, so their total has no limit.
    raceway = tables.wiring_methods[run.wiring_method].form == "raceway"
    if raceway and total > limits.bends_believable_deg:
        yield Finding(
            "error",
            "BENDS_IMPOSSIBLE",
            f"{plain(total)} degrees of bend in one run cannot be pulled: no stretch may have more "
            f"than {plain(limits.bends_max_deg)}, and over {plain(limits.bends_believable_deg)} is "
            "taken as a slip. Pull points are counted all the same.",
            f"{pointer}/bends_deg",
            "nec_bends_360",
            "Correct bends_deg, find a straighter way, or describe the run in parts with boxes "
            "between them.",
        )
