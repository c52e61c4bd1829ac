"""What each circuit asks of its breaker, its wire and the transfer equipment."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Circuit, Job
from estimator.sizing.ampacity import next_standard_rating
from estimator.sizing.feed import Feed
from estimator.sizing.records import Leg
from estimator.sizing.shared_neutrals import Pair
from estimator.sizing.tables import SizingTables
from estimator.sizing.transfer import Switch
from estimator.units import plain, rounded

HUNDRED = Decimal(100)
HOUSE_WIRING_COLUMN_C = 60


def design_load_a(circuit: Circuit, tables: SizingTables) -> Decimal:
    """Amps that conductors and breaker have to take [A]; continuous loads at 125 %."""
    limits = tables.limits
    volts = limits.both_legs_volts if circuit.poles == 2 else limits.leg_volts
    amps = circuit.running_w / volts
    return amps * limits.continuous_percent / HUNDRED if circuit.continuous else amps


def check_circuits(
    job: Job,
    feed: Feed,
    pairs: Sequence[Pair],
    switch: Switch,
    tables: SizingTables,
) -> tuple[Finding, ...]:
    """Findings on single circuits and on shared neutrals."""
    findings: list[Finding] = []
    for number, circuit in enumerate(job.circuits):
        pointer = f"/circuits/{number}"
        findings += _breaker(circuit, pointer, switch, tables)
        findings += _house_wire(circuit, pointer, job, tables)
        findings += _protection(circuit, pointer)
    if feed.system == "120/240":
        findings += [_handle_tie(job, pair) for pair in pairs]
    return tuple(findings)


def check_feeder_load(
    job: Job, feed: Feed, legs: Sequence[Leg], tables: SizingTables
) -> tuple[Finding, ...]:
    """A warning when the circuits together, continuous ones at 125 %, pass the feed's rating."""
    rating = min(feed.inlet.amps, feed.outlet.amps)
    limits = tables.limits
    first = second = Decimal(0)
    for circuit, leg in zip(job.circuits, legs, strict=True):
        watts = circuit.running_w
        if circuit.continuous:
            watts = watts * limits.continuous_percent / HUNDRED
        if feed.system == "120" or leg == "L1":
            first += watts
        elif leg == "L2":
            second += watts
        else:
            first += watts / 2
            second += watts / 2
    amps = max(first, second) / limits.leg_volts
    if amps <= rating:
        return ()
    return (
        Finding(
            "warning",
            "FEEDER_OVER_RATING",
            f"All circuits at once, continuous ones at {plain(limits.continuous_percent)} %, ask "
            f"{plain(rounded(amps, 1))} A on one leg of a {rating} A feed.",
            "/circuits",
            "nec_continuous_load",
            f"Keep the circuits that run together within {rating} A a leg, or use an outlet and "
            "an inlet of a higher rating.",
        ),
    )


def _breaker(circuit: Circuit, pointer: str, switch: Switch, tables: SizingTables) -> list[Finding]:
    findings = []
    amps = design_load_a(circuit, tables)
    if amps > circuit.breaker_a:
        findings.append(
            Finding(
                "warning",
                "CIRCUIT_OVER_BREAKER",
                f"{circuit.name} asks {plain(rounded(amps, 1))} A"
                + (" with its continuous load at 125 %" if circuit.continuous else "")
                + f", more than its {circuit.breaker_a} A breaker.",
                f"{pointer}/running_w",
                "nec_continuous_load",
                "Check the watts of this circuit; run less on it at one time.",
            )
        )
    if circuit.breaker_a > switch.rating_a:
        findings.append(
            Finding(
                "error",
                "CIRCUIT_OVER_TRANSFER",
                f"{circuit.name} has a {circuit.breaker_a} A breaker, but the transfer equipment "
                f"is rated {switch.rating_a} A.",
                f"{pointer}/breaker_a",
                "nec_transfer_equipment",
                f"Leave this circuit out, or use an inlet and transfer equipment of "
                f"{circuit.breaker_a} A or more.",
            )
        )
    return findings


def _house_wire(circuit: Circuit, pointer: str, job: Job, tables: SizingTables) -> list[Finding]:
    size, material = circuit.conductor_size, circuit.conductor_material
    ampacity = tables.ampacity[material, HOUSE_WIRING_COLUMN_C].get(size)
    if ampacity is None:
        allowed = 0
    else:
        allowed = next_standard_rating(ampacity, job.site.code_edition, tables)
        small = tables.small_conductors.get((size, material))
        if small is not None:
            allowed = int(small)
    if circuit.breaker_a <= allowed:
        return []
    return [
        Finding(
            "warning",
            "HOUSE_WIRE_TOO_SMALL",
            f"{circuit.name}: the {size} {'copper' if material == 'cu' else 'aluminium'} in the "
            f"wall may have at most a {allowed} A breaker but has {circuit.breaker_a} A.",
            f"{pointer}/conductor_size",
            "nec_240_4_d",
            f"Look at the wire at the breaker. If it is {size}, fit a {allowed} A breaker on both "
            "sides, unless it feeds one motor whose own rules allow more."
            if allowed
            else "Give the size of the wire at the breaker as it is marked.",
        )
    ]


def _protection(circuit: Circuit, pointer: str) -> list[Finding]:
    if circuit.protection == "standard":
        return []
    kind = {"afci": "an AFCI", "gfci": "a GFCI", "dual": "a combined AFCI and GFCI"}
    return [
        Finding(
            "warning",
            "PROTECTION_LOST_ON_SUPPLY",
            f"{circuit.name} has {kind[circuit.protection]} breaker, which protects it only while "
            "the utility feeds it.",
            f"{pointer}/protection",
            "nec_protection_of_relocated_circuit",
            "Use a switch that takes such a breaker for this position, or a protecting device at "
            "the circuit's first outlet.",
        )
    ]


def _handle_tie(job: Job, pair: Pair) -> Finding:
    one, other = (job.circuits[number].name for number in pair)
    return Finding(
        "note",
        "SHARED_NEUTRAL_HANDLE_TIE",
        f"{one} and {other} share a neutral: both hots have to open together where they start.",
        f"/circuits/{pair[0]}/shared_neutral_with",
        "nec_multiwire_disconnect",
        "Put both on neighbouring positions with an identified handle tie, here and in the load "
        "centre.",
    )
