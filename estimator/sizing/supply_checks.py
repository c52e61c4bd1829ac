"""What kind of supply may feed the house in this way, and where its inlet may be."""

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
    """Findings on the supply itself and on its inlet's place."""
    return (
        *_one_leg(job, feed, pairs),
        *_inlet_place(job, tables),
        *_large_inlet(feed, tables),
        *_disconnect(job, tables),
        *_fixed(job),
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
    if job.transfer.method in ("manual_switch", "subpanel"):
        findings.append(
            Finding(
                "note",
                "LEGS_BRIDGED",
                "One 120 V leg feeds both line terminals of the transfer equipment.",
                "/transfer",
                "nec_listing_instructions",
                "Bridge the two terminals only if the equipment's instructions allow it; "
                "otherwise use the positions of one leg only.",
            )
        )
    return findings


def _inlet_place(job: Job, tables: SizingTables) -> list[Finding]:
    supply, rules = job.supply, tables.editions[job.site.code_edition]
    limit = rules.inlet_outdoors_max_w
    if limit is None or job.inlet.place == "outdoor" or not supply.portable:
        return []
    if supply.continuous_w is not None and supply.continuous_w > limit:
        return []
    return [
        Finding(
            "error",
            "INLET_NOT_OUTDOORS",
            f"{rules.title}: the inlet of a portable supply of "
            f"{plain(limit / 1000)} kW or less has to be outside the building, but it is "
            f"{job.inlet.place}.",
            "/inlet/place",
            "nec_inlet_outdoors",
            "Put the inlet on an outside wall." + _other_editions(tables),
        )
    ]


def _large_inlet(feed: Feed, tables: SizingTables) -> list[Finding]:
    from_a = tables.limits.inlet_disconnect_from_a
    if feed.inlet.amps < from_a:
        return []
    return [
        Finding(
            "error",
            "INLET_NEEDS_DISCONNECT",
            f"An inlet of {feed.inlet.amps} A ({plain(from_a)} A or more) needs equipment listed "
            "for it and a disconnect interlocked with it, which are not designed here.",
            "/inlet/configuration",
            "nec_inlet_100a",
            "Use an inlet that is itself rated as a disconnect, add an interlocked disconnect, or "
            "use an inlet of 50 A or less.",
        )
    ]


def _disconnect(job: Job, tables: SizingTables) -> list[Finding]:
    supply, limit = job.supply, tables.limits.generator_large_w
    if supply.kind != "generator":
        return []
    large = supply.continuous_w is not None and supply.continuous_w > limit
    if supply.portable and not large:
        return []
    findings = [
        Finding(
            "warning",
            "GENERATOR_DISCONNECT",
            ("A generator above " + plain(limit / 1000) + " kW" if large else "A fixed generator")
            + " needs a disconnect within sight of the building, or one at the generator that "
            "serves as such.",
            "/supply",
            "nec_generator_disconnect_large",
            "Check that the generator's own breaker can be locked open and seen from the house, "
            "or add a disconnect.",
        )
    ]
    if not supply.portable:
        findings.append(
            Finding(
                "note",
                "GENERATOR_SHUTDOWN",
                "A fixed generator at a dwelling needs an emergency shutdown outside that is "
                "easy to reach.",
                "/supply/portable",
                "nec_emergency_shutdown",
                "Place a shutdown switch outside and mark it.",
            )
        )
    return findings


def _fixed(job: Job) -> list[Finding]:
    if job.supply.portable or job.supply.kind == "generator":
        return []
    return [
        Finding(
            "warning",
            "FIXED_STORAGE",
            "Storage that is fixed in place has rules of its own (place, disconnect, listing) "
            "that are not checked here; an inlet and a cord are for a supply that can be moved.",
            "/supply/portable",
            "nec_storage_systems",
            "Have its connection planned by its maker's installer, or set supply.portable if it "
            "is plugged in.",
        )
    ]


def _other_editions(tables: SizingTables) -> str:
    without = [
        rules.title for rules in tables.editions.values() if rules.inlet_outdoors_max_w is None
    ]
    if not without:
        return ""
    return (
        f" {' and '.join(without)} has no such rule: set site.code_edition if that is the one in "
        "force."
    )


def _life_support(job: Job) -> list[Finding]:
    by_hand = job.transfer.method != "automatic_switch"
    return [
        Finding(
            "warning",
            "LIFE_SUPPORT",
            f"{circuit.name} is marked as life support; this is an optional standby supply and "
            "not an emergency one"
            + (", and somebody has to switch it on by hand." if by_hand else "."),
            f"/circuits/{number}/life_support",
            "nec_optional_standby",
            "Keep the device's own battery or cylinders, register with the utility, and test the "
            "changeover.",
        )
        for number, circuit in enumerate(job.circuits)
        if circuit.life_support
    ]
