"""A transfer subpanel: moved circuits behind a selector of utility feeder and inlet."""

from estimator.basis import Because, because
from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.equipment import Equipment, rating_not_made
from estimator.sizing.feed import Feed
from estimator.sizing.records import AddedBreaker
from estimator.sizing.tables import SizingTables

FEEDER_POLES = 2
KIND = "transfer subpanel"


def utility_breaker_a(job: Job, feed: Feed) -> int:
    """Rating of the two-pole breaker in the load centre that feeds the subpanel [A]."""
    return max(job.transfer.rating_a, feed.inlet.amps)


def choose_subpanel(
    job: Job, feed: Feed, tables: SizingTables
) -> tuple[Equipment, tuple[Finding, ...]]:
    """Smallest subpanel made that takes the feeder's rating and all poles, or the one stated."""
    needed = sum(circuit.poles for circuit in job.circuits)
    breaker_a = utility_breaker_a(job, feed)
    positions, rating = job.transfer.spaces, breaker_a
    findings: list[Finding] = []
    if positions is not None:
        if positions < needed:
            findings.append(_too_few(positions, needed, tables))
    else:
        strong = [row for row in tables.transfer_panels if row.rating_a >= breaker_a]
        fitting = [row for row in strong if row.positions >= needed]
        if fitting:
            positions, rating = fitting[0].positions, fitting[0].rating_a
        else:
            largest = (strong or tables.transfer_panels)[-1]
            if not strong:
                instead = "an interlock or an automatic_switch for the whole load centre"
                findings.append(rating_not_made(KIND, breaker_a, largest.rating_a, instead))
            if largest.positions < needed:
                findings.append(_too_many(largest.positions, needed, breaker_a))
            positions, rating = largest.positions, max(largest.rating_a, breaker_a)
    breaker = AddedBreaker("load_centre", FEEDER_POLES, breaker_a, "transfer", False)
    findings += _breaker_rating(job, breaker_a, tables)
    findings += _spaces(job, needed)
    findings += _notes()
    reasons = _reasons(job, feed, positions, rating, needed)
    return Equipment(positions, rating, needed, breaker_a, (breaker,), reasons), tuple(findings)


def _reasons(job: Job, feed: Feed, positions: int, rating: int, needed: int) -> tuple[Because, ...]:
    stated = job.transfer.spaces is not None
    return (
        because(
            "A one-pole circuit takes one space of the subpanel, a two-pole circuit two; the "
            "selector's own mains are not counted",
            "common_practice",
            spaces_needed=needed,
        ),
        because(
            "A two-pole breaker in the load centre feeds the subpanel from the utility, not "
            "rated below the inlet",
            "nec_panel_ocpd",
            inlet_a=feed.inlet.amps,
            breaker_a=utility_breaker_a(job, feed),
        ),
        because(
            "Spaces as the job states" if stated else "Smallest subpanel made that takes both",
            "job_description" if stated else "common_practice",
            spaces=positions,
            rating_a=rating,
        ),
        because(
            "Odd spaces on L1, even ones on L2; two-pole circuits and shared neutrals on "
            "neighbours",
            "own_convention",
        ),
    )


def _too_few(spaces: int, needed: int, tables: SizingTables) -> Finding:
    made = ", ".join(f"{row.positions} x {row.rating_a} A" for row in tables.transfer_panels)
    return Finding(
        "error",
        "TRANSFER_SPACES_TOO_FEW",
        f"The circuits take {needed} spaces (two for a two-pole circuit) but the subpanel has "
        f"{spaces}.",
        "/transfer/spaces",
        "nec_panel_ocpd",
        f"Leave circuits out until {spaces} spaces are enough, or use a subpanel of {needed} or "
        f"more; made are {made}.",
    )


def _too_many(largest: int, needed: int, breaker_a: int) -> Finding:
    return Finding(
        "error",
        "TRANSFER_TOO_MANY_CIRCUITS",
        f"The circuits take {needed} spaces at {breaker_a} A but the largest transfer subpanel "
        f"that is made has {largest}.",
        "/circuits",
        "nec_panel_ocpd",
        f"Keep {largest} spaces' worth of circuits, or use an interlock or an automatic_switch "
        "for the whole load centre.",
    )


def _breaker_rating(job: Job, breaker_a: int, tables: SizingTables) -> list[Finding]:
    findings = []
    standard = tables.overcurrent[job.site.code_edition]
    if breaker_a not in standard:
        below = [rating for rating in standard if rating < breaker_a][-1:]
        above = [rating for rating in standard if rating > breaker_a][:1]
        findings.append(
            Finding(
                "error",
                "RATING_NOT_STANDARD",
                f"{breaker_a} A is not a standard rating, so there is no such feeder breaker.",
                "/transfer/rating_a",
                "nec_240_6_a",
                f"Use {' or '.join(f'{rating} A' for rating in (*below, *above))}.",
            )
        )
    if breaker_a > job.load_centre.bus_a:
        findings.append(
            Finding(
                "error",
                "FEEDER_BREAKER_OVER_BUS",
                f"A {breaker_a} A feeder breaker is above the load centre's "
                f"{job.load_centre.bus_a} A bus.",
                "/transfer/rating_a",
                "nec_panel_ocpd",
                f"Use a feeder breaker of {job.load_centre.bus_a} A or less.",
            )
        )
    return findings


def _spaces(job: Job, moved: int) -> list[Finding]:
    free = job.load_centre.free_spaces
    if free is not None and free >= FEEDER_POLES:
        return []
    if (free or 0) + moved < FEEDER_POLES and free is not None:
        return [
            Finding(
                "error",
                "FEEDER_BREAKER_SPACES",
                f"The subpanel's feeder breaker takes {FEEDER_POLES} spaces of the load centre; "
                f"free: {free}, given up by the moved circuits: {moved}.",
                "/load_centre/free_spaces",
                "nec_panel_ocpd",
                "Move one more circuit, or fit breakers listed for this panel that take less room.",
            )
        ]
    return [
        Finding(
            "note",
            "FEEDER_BREAKER_SPACES",
            f"The subpanel's feeder breaker takes {FEEDER_POLES} neighbouring spaces of the load "
            + ("centre; how many are free is not known" if free is None else "centre")
            + f"; the moved circuits give up {moved}.",
            "/load_centre/free_spaces",
            "nec_panel_ocpd",
            "Move circuits first, shift breakers until two neighbouring spaces are free, then fit "
            "the feeder breaker.",
        )
    ]


def _notes() -> list[Finding]:
    return [
        Finding(
            "note",
            "SUBPANEL_BARS_SEPARATE",
            "In the subpanel neutral and ground are not joined: the bond is at the service only.",
            "/transfer/method",
            "nec_subpanel_neutral",
            "Leave out the bonding screw or strap, land neutrals on the insulated bar and "
            "grounds on a ground bar of their own.",
        ),
        Finding(
            "note",
            "USER_SELECTS_LOADS",
            "The supply need only carry the moved circuits that are switched on together, and "
            "the user chooses.",
            "/circuits",
            "nec_capacity_manual",
            "Keep a list at the subpanel of the circuits that may be on together.",
        ),
    ]
