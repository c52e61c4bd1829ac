"""An interlock: the inlet feeds a back-fed breaker of the load centre in place of its main."""

from estimator.basis import because
from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.equipment import Equipment
from estimator.sizing.feed import Feed
from estimator.sizing.records import AddedBreaker

POLES = 2


def choose_interlock(job: Job, feed: Feed) -> tuple[Equipment, tuple[Finding, ...]]:
    """The back-fed breaker: two poles of the inlet's rating, or of a smaller one if stated."""
    rating = min(job.transfer.rating_a, feed.inlet.amps)
    breaker = AddedBreaker("load_centre", POLES, rating, "inlet", True)
    reasons = (
        because(
            "One two-pole breaker of the load centre, fed from the inlet, takes two spaces; every "
            "circuit stays where it is",
            "common_practice",
            spaces=POLES,
        ),
        because(
            "The breaker is not rated above the inlet and the wire that it protects",
            "nec_240_4",
            inlet_a=feed.inlet.amps,
            breaker_a=rating,
        ),
        because(
            "Main and back-fed breaker cannot be on together, so they do not add up on the bus",
            "nec_transfer_equipment",
            bus_a=job.load_centre.bus_a,
        ),
    )
    return (
        Equipment(POLES, rating, POLES, None, (breaker,), reasons),
        (*_rating(job, feed), *_one_leg(feed), *_spaces(job.load_centre.free_spaces), *_notes(job)),
    )


def _rating(job: Job, feed: Feed) -> list[Finding]:
    stated, inlet = job.transfer.rating_a, feed.inlet.amps
    if stated > inlet:
        return [
            Finding(
                "error",
                "BACKFED_BREAKER_OVER_INLET",
                f"A {stated} A back-fed breaker does not protect the {inlet} A inlet and its "
                f"wire; the design goes on with {inlet} A.",
                "/transfer/rating_a",
                "nec_240_4",
                f"Use a two-pole breaker of {inlet} A, or an inlet of {stated} A.",
            )
        ]
    if stated < inlet:
        return [
            Finding(
                "warning",
                "BACKFED_BREAKER_LIMITS_INLET",
                f"The {stated} A back-fed breaker opens before the {inlet} A inlet is used fully.",
                "/transfer/rating_a",
                "nec_240_4",
                f"Use a two-pole breaker of {inlet} A, unless {stated} A a leg is enough.",
            )
        ]
    return []


def _one_leg(feed: Feed) -> list[Finding]:
    if feed.system != "120":
        return []
    return [
        Finding(
            "error",
            "INTERLOCK_ON_120_V",
            "An interlock connects the whole load centre: on one 120 V leg its two-pole breaker "
            "would be bridged, and the neutral of every shared-neutral circuit in the house would "
            "carry the sum of both hots.",
            "/transfer/method",
            "nec_multiwire_legs",
            "Use a 120/240 V supply, outlet and inlet, or a per-circuit manual_switch with "
            "one-pole circuits that share no neutral.",
        )
    ]


def _spaces(free: int | None) -> list[Finding]:
    if free is None:
        return [
            Finding(
                "warning",
                "INTERLOCK_SPACES_UNKNOWN",
                f"It is not known whether the load centre has {POLES} free spaces beside its main.",
                "/load_centre/free_spaces",
                "nec_listing_instructions",
                "Look at the panel and give load_centre.free_spaces; the kit says which spaces "
                "the back-fed breaker has to be in.",
            )
        ]
    if free >= POLES:
        return []
    return [
        Finding(
            "error" if free == 0 else "warning",
            "INTERLOCK_SPACES_TOO_FEW",
            f"The back-fed breaker takes {POLES} spaces beside the main but the load centre has "
            f"{free} free.",
            "/load_centre/free_spaces",
            "nec_listing_instructions",
            "Move breakers or join two circuits' spaces with breakers listed for this panel, or "
            "use a manual_switch, which takes no space.",
        )
    ]


def _notes(job: Job) -> list[Finding]:
    findings = [
        Finding(
            "note",
            "INTERLOCK_LISTED_FOR_PANEL",
            "The interlock kit has to be listed for this very panel; some inspectors accept only "
            "the panel maker's own.",
            "/transfer/method",
            "nec_transfer_equipment",
            "Read the panel's type from its label before the kit is bought; without a listed kit "
            "use a manual_switch or a subpanel.",
        ),
        Finding(
            "note",
            "BACKFED_BREAKER_HOLD_DOWN",
            "A plug-on breaker that is fed from its load side has to be held by more than its own "
            "clip.",
            "/transfer/method",
            "nec_backfed_breaker",
            "Fit the retainer made for this breaker (a screw or clip, not a cable tie).",
        ),
        Finding(
            "note",
            "USER_SELECTS_LOADS",
            "The whole load centre is connected; the supply need only carry what is switched on "
            "together, and the user chooses.",
            "/circuits",
            "nec_capacity_manual",
            "Keep a list at the panel of the breakers that may be on, with all others off first.",
        ),
    ]
    if job.load_centre.role == "subpanel":
        findings.append(
            Finding(
                "warning",
                "INTERLOCK_IN_SUBPANEL",
                "The load centre is a subpanel: an interlock needs a main breaker in it, and only "
                "what this panel feeds is backed up.",
                "/load_centre/role",
                "nec_transfer_equipment",
                "Check that the panel has a main breaker and that a kit is listed for it, or put "
                "the interlock in the service panel.",
            )
        )
    return findings
