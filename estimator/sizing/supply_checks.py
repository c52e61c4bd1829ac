"""What supply, outlet, inlet and cord may be joined, and what trips when they are."""

from collections.abc import Sequence

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.feed import Feed
from estimator.sizing.shared_neutrals import Pair
from estimator.sizing.tables import SizingTables
from estimator.units import plain


def check_supply(
    job: Job, feed: Feed, pairs: Sequence[Pair], tables: SizingTables
) -> tuple[Finding, ...]:
    """Findings on the way from the supply to the transfer equipment."""
    return (
        *_one_leg(job, feed, pairs),
        *_inlet_form(feed),
        *_outlet_against_inlet(job, feed),
        *_neutral(job),
        *_inlet_place(job, tables),
        *_life_support(job),
    )


def _one_leg(job: Job, feed: Feed, pairs: Sequence[Pair]) -> list[Finding]:
    if feed.system != "120":
        return []
    findings = [
        Finding(
            "error",
            "TWO_POLE_ON_120_V",
            f"{circuit.name} has two poles and needs 240 V, but the feed gives 120 V on one leg.",
            f"/circuits/{number}",
            "nec_multiwire_legs",
            "Leave this circuit out, or use a 120/240 V supply, outlet and inlet.",
        )
        for number, circuit in enumerate(job.circuits)
        if circuit.poles == 2
    ]
    findings += [
        Finding(
            "error",
            "SHARED_NEUTRAL_ON_120_V",
            f"{job.circuits[one].name} and {job.circuits[other].name} share a neutral; on one "
            "120 V leg it would carry the sum of both instead of the difference.",
            f"/circuits/{one}/shared_neutral_with",
            "nec_multiwire_legs",
            "Leave both circuits out, or use a 120/240 V supply, outlet and inlet.",
        )
        for one, other in pairs
    ]
    if job.transfer.method == "manual_switch":
        findings.append(
            Finding(
                "note",
                "LEGS_BRIDGED",
                "One 120 V leg feeds both line terminals of the transfer switch.",
                "/transfer",
                "nec_listing_instructions",
                "Bridge the two terminals only if the switch's instructions allow it; otherwise "
                "use the positions of one leg only.",
            )
        )
    return findings


def _inlet_form(feed: Feed) -> list[Finding]:
    findings = []
    name = feed.inlet.configuration
    fitting = "L14-30 or 14-50 (120/240 V), or L5-30 or TT-30 (120 V)"
    if not feed.inlet.has_neutral:
        findings.append(
            Finding(
                "error",
                "INLET_WITHOUT_NEUTRAL",
                f"A {name} inlet has no neutral and cannot feed 120 V circuits.",
                "/inlet/configuration",
                "nec_neutral_with_circuit",
                f"Use an inlet with a neutral, such as {fitting}.",
            )
        )
    if not feed.inlet.has_equipment_ground:
        findings.append(
            Finding(
                "error",
                "INLET_WITHOUT_GROUND",
                f"A {name} inlet has no equipment ground.",
                "/inlet/configuration",
                "nec_cord_equipment_ground",
                f"Use an inlet with an equipment ground, such as {fitting}.",
            )
        )
    return findings


def _outlet_against_inlet(job: Job, feed: Feed) -> list[Finding]:
    outlet, inlet = feed.outlet, feed.inlet
    findings = []
    if outlet.amps > inlet.amps:
        findings.append(
            Finding(
                "error",
                "OUTLET_OVER_INLET",
                f"The supply's {outlet.amps} A outlet does not protect the cord's connector and "
                f"the inlet, which are rated {inlet.amps} A.",
                "/supply/outlet",
                "nec_240_4",
                f"Use an inlet of {outlet.amps} A or more, or an outlet of {inlet.amps} A or less.",
            )
        )
    elif outlet.amps < inlet.amps:
        findings.append(
            Finding(
                "note",
                "OUTLET_LIMITS_INLET",
                f"The supply's {outlet.amps} A outlet limits the {inlet.amps} A inlet.",
                "/supply/outlet",
                "common_practice",
                f"Keep each leg at {outlet.amps} A or less; the wiring is ready for more.",
            )
        )
    if not outlet.has_neutral and inlet.has_neutral:
        findings.append(
            Finding(
                "error",
                "OUTLET_WITHOUT_NEUTRAL",
                f"A {outlet.configuration} outlet has no neutral, so no cord from it can feed "
                "120 V circuits.",
                "/supply/outlet",
                "nec_neutral_with_circuit",
                "Use an outlet of the supply that has a neutral, such as L14-30.",
            )
        )
    elif outlet.system != inlet.system:
        findings.append(_adapter(job, feed))
    return findings


def _adapter(job: Job, feed: Feed) -> Finding:
    return Finding(
        "warning",
        "ADAPTER_CORD",
        f"A {feed.outlet.configuration} outlet ({feed.outlet.system} V) feeds a "
        f"{feed.inlet.configuration} inlet ({feed.inlet.system} V): the cord is an adapter and "
        "only one 120 V leg is fed.",
        "/supply/outlet",
        "common_practice",
        "Use an outlet and an inlet of the same system. With an adapter no 240 V circuit and no "
        "shared neutral may be connected, and its hots may be bridged only for that use.",
    )


def _neutral(job: Job) -> list[Finding]:
    supply, switched = job.supply, job.transfer.switched_neutral
    findings = []
    if supply.neutral == "unknown":
        findings.append(
            Finding(
                "warning",
                "NEUTRAL_BOND_UNKNOWN",
                "It is not known whether the supply's neutral is bonded to its frame.",
                "/supply/neutral",
                "nec_generator_marking",
                "Read the marking or the manual, or measure between neutral and ground with the "
                "supply unplugged, and set supply.neutral to bonded or floating.",
            )
        )
    elif supply.neutral == "bonded" and not switched:
        findings.append(
            Finding(
                "warning",
                "NEUTRAL_BONDED_TWICE",
                "The supply bonds its neutral to ground and so does the house; with an unswitched "
                "neutral part of the neutral current flows in the ground wire and a GFCI at the "
                "supply trips.",
                "/transfer/switched_neutral",
                "nec_bonded_source_conflict",
                "Use transfer equipment that switches the neutral, or a supply with a floating "
                "neutral. Never open the bond of a listed supply yourself.",
            )
        )
    elif supply.neutral == "floating" and switched:
        findings.append(
            Finding(
                "warning",
                "NEUTRAL_NOT_BONDED",
                "With a switched neutral the supply stands alone and needs its own bond, but its "
                "neutral floats.",
                "/transfer/switched_neutral",
                "nec_separately_derived",
                "Use transfer equipment that leaves the neutral unswitched, or a supply whose "
                "neutral is bonded.",
            )
        )
    if supply.outlet_gfci and not switched:
        findings.append(
            Finding(
                "warning",
                "GFCI_OUTLET_TRIPS",
                "The supply's outlet has a GFCI, which usually trips when the house bonds the "
                "neutral behind it.",
                "/supply/outlet_gfci",
                "nec_bonded_source_conflict",
                "Use transfer equipment that switches the neutral, or an outlet of the supply "
                "without GFCI. Do not defeat the protection.",
            )
        )
    return findings


def _inlet_place(job: Job, tables: SizingTables) -> list[Finding]:
    supply, limit = job.supply, tables.limits.inlet_outdoors_max_w
    if job.site.code_edition == "2020" or job.inlet.place == "outdoor" or not supply.portable:
        return []
    if supply.continuous_w is not None and supply.continuous_w > limit:
        return []
    return [
        Finding(
            "error",
            "INLET_NOT_OUTDOORS",
            "The inlet of a portable supply of "
            f"{plain(limit / 1000)} kW or less has to be outside the building, but it is "
            f"{job.inlet.place}.",
            "/inlet/place",
            "nec_inlet_outdoors",
            "Put the inlet on an outside wall. The 2020 edition has no such rule: set "
            "site.code_edition if that is the one in force.",
        )
    ]


def _life_support(job: Job) -> list[Finding]:
    return [
        Finding(
            "warning",
            "LIFE_SUPPORT",
            f"{circuit.name} is marked as life support; this is an optional standby supply that "
            "somebody has to switch on by hand.",
            f"/circuits/{number}/life_support",
            "nec_optional_standby",
            "Keep the device's own battery or cylinders, register with the utility, and test the "
            "changeover.",
        )
        for number, circuit in enumerate(job.circuits)
        if circuit.life_support
    ]
