"""From the supply's outlet to the transfer equipment no link may be weaker than the one before."""

from collections.abc import Sequence

from estimator.finding import Finding, Severity
from estimator.job.configurations import Configuration
from estimator.job.records import Job
from estimator.sizing.feed import Feed
from estimator.sizing.shared_neutrals import Pair

FITTING = "L14-30 or 14-50 (120/240 V), or L5-30 or TT-30 (120 V)"


def check_chain(job: Job, feed: Feed, pairs: Sequence[Pair]) -> tuple[Finding, ...]:
    """Findings on outlet, inlet and transfer equipment as they follow each other."""
    return (
        *_form(feed.inlet, "/inlet/configuration", "inlet"),
        *_form(feed.outlet, "/supply/outlet", "outlet"),
        *_outlet_of_supply(job, feed),
        *_outlet_and_inlet(feed),
        *_mating(job, feed, pairs),
        *_transfer(job, feed),
    )


def _form(one: Configuration, where: str, link: str) -> list[Finding]:
    findings = []
    if not one.has_neutral:
        findings.append(
            Finding(
                "error",
                f"{link.upper()}_WITHOUT_NEUTRAL",
                f"The {link} {one.configuration} has no neutral and cannot feed 120 V circuits.",
                where,
                "nec_neutral_with_circuit",
                f"Use an {link} that has a neutral, such as {FITTING}.",
            )
        )
    if not one.has_equipment_ground:
        findings.append(
            Finding(
                "error",
                f"{link.upper()}_WITHOUT_GROUND",
                f"The {link} {one.configuration} has no equipment ground.",
                where,
                "nec_cord_equipment_ground",
                f"Use an {link} with an equipment ground, such as {FITTING}.",
            )
        )
    return findings


def _outlet_of_supply(job: Job, feed: Feed) -> list[Finding]:
    if job.supply.system != "120" or feed.outlet.system == "120":
        return []
    return [
        Finding(
            "error",
            "OUTLET_NOT_OF_SUPPLY",
            f"A 120 V supply does not give what the outlet {feed.outlet.configuration} "
            f"({feed.outlet.system} V) promises.",
            "/supply/outlet",
            "nec_multiwire_legs",
            "Name the supply's 120 V outlet (L5-30, TT-30 or 5-20), or set supply.system to "
            "120/240 if it gives both legs.",
        )
    ]


def _outlet_and_inlet(feed: Feed) -> list[Finding]:
    outlet, inlet = feed.outlet, feed.inlet
    if outlet.amps > inlet.amps:
        return [
            Finding(
                "error",
                "OUTLET_OVER_INLET",
                f"The supply's {outlet.amps} A outlet does not protect the cord's connector and "
                f"the inlet, which are rated {inlet.amps} A; a plain adapter does not either.",
                "/supply/outlet",
                "nec_240_4",
                f"Use an inlet of {outlet.amps} A or more, or an outlet of {inlet.amps} A or less.",
            )
        ]
    if outlet.amps < inlet.amps:
        return [
            Finding(
                "note",
                "OUTLET_LIMITS_INLET",
                f"The supply's {outlet.amps} A outlet limits the {inlet.amps} A inlet; a cord "
                "in this direction is allowed.",
                "/supply/outlet",
                "common_practice",
                f"Keep each leg at {outlet.amps} A or less; the wiring is ready for more.",
            )
        ]
    return []


def _mating(job: Job, feed: Feed, pairs: Sequence[Pair]) -> list[Finding]:
    outlet, inlet = feed.outlet, feed.inlet
    ends = (
        f"The outlet {outlet.configuration} ({outlet.system} V) feeds the inlet "
        f"{inlet.configuration} ({inlet.system} V): "
    )
    if outlet.system == "120" and inlet.system == "120/240":
        refused = _needs_both_legs(job, pairs)
        severity: Severity = "error" if refused else "warning"
        return [
            Finding(
                severity,
                "ADAPTER_CORD",
                f"{ends}the cord is an adapter and only one 120 V leg is fed"
                + (f", which is refused with {refused}." if refused else "."),
                "/supply/outlet",
                "nec_multiwire_legs",
                "Use an outlet and an inlet of the same system. With an adapter no 240 V circuit "
                "and no shared neutral may be connected, and its hots may be bridged only for "
                "that use.",
            )
        ]
    if outlet.configuration == inlet.configuration or not outlet.has_neutral:
        return []
    one_leg = outlet.system != inlet.system
    return [
        Finding(
            "warning" if one_leg else "note",
            "ADAPTER_CORD" if one_leg else "CORD_ENDS_DIFFER",
            ends
            + (
                "the cord is an adapter that leaves one leg of the supply unused."
                if one_leg
                else "the two do not mate, so the cord has a different form at each end."
            ),
            "/supply/outlet",
            "nema_wd6",
            "Use an outlet and an inlet of the same system."
            if one_leg
            else f"Order the cord with plug {outlet.plug} and connector {inlet.connector}.",
        )
    ]


def _needs_both_legs(job: Job, pairs: Sequence[Pair]) -> str:
    """What in the job would be fed wrongly by one leg, in words."""
    if job.transfer.method in ("interlock", "automatic_switch"):
        return "a whole load centre behind it"
    found = []
    if any(circuit.poles == 2 for circuit in job.circuits):
        found.append("two-pole circuits")
    if pairs:
        found.append("shared neutrals")
    return " and ".join(found)


def _transfer(job: Job, feed: Feed) -> list[Finding]:
    rating, inlet = job.transfer.rating_a, feed.inlet.amps
    # The breaker of an interlock may be smaller than its inlet; it has findings of its own.
    if job.transfer.method == "interlock" or rating >= inlet:
        return []
    return [
        Finding(
            "error",
            "TRANSFER_RATED_BELOW_INLET",
            f"The transfer equipment is rated {rating} A but a {inlet} A inlet feeds it; the "
            f"design goes on with {inlet} A.",
            "/transfer/rating_a",
            "nec_transfer_equipment",
            f"Use transfer equipment of {inlet} A or more, or an inlet of {rating} A.",
        )
    ]
