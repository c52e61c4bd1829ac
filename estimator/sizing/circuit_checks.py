"""What each circuit asks of its breaker, its wire and the transfer equipment."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.records import Circuit, Job, Run
from estimator.sizing.ampacity import next_standard_rating
from estimator.sizing.equipment import CIRCUITS_STAY, Equipment
from estimator.sizing.feed import Feed
from estimator.sizing.records import Leg
from estimator.sizing.shared_neutrals import Pair
from estimator.sizing.tables import SizingTables
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
    equipment: Equipment,
    tables: SizingTables,
) -> tuple[Finding, ...]:
    """Findings on single circuits and on shared neutrals."""
    findings: list[Finding] = []
    for number, circuit in enumerate(job.circuits):
        pointer = f"/circuits/{number}"
        findings += _breaker(circuit, pointer, tables)
        findings += _against_transfer(circuit, pointer, feed, equipment)
        findings += _house_wire(circuit, pointer, job, tables)
        findings += _protection(circuit, pointer, job)
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


def _breaker(circuit: Circuit, pointer: str, tables: SizingTables) -> list[Finding]:
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
    return findings


def _against_transfer(
    circuit: Circuit, pointer: str, feed: Feed, equipment: Equipment
) -> list[Finding]:
    largest = equipment.largest_circuit_a
    if largest is not None and circuit.breaker_a > largest:
        return [
            Finding(
                "error",
                "CIRCUIT_OVER_TRANSFER",
                f"{circuit.name} has a {circuit.breaker_a} A breaker, but the transfer equipment "
                f"is fed at {largest} A.",
                f"{pointer}/breaker_a",
                "nec_transfer_equipment",
                "Leave this circuit out, or use an inlet and transfer equipment of "
                f"{circuit.breaker_a} A or more.",
            )
        ]
    if circuit.breaker_a <= feed.inlet.amps:
        return []
    return [
        Finding(
            "note",
            "CIRCUIT_LARGER_THAN_FEED",
            f"{circuit.name} has a {circuit.breaker_a} A breaker and the supply comes in at "
            f"{feed.inlet.amps} A: at full power it opens the supply's breaker.",
            f"{pointer}/breaker_a",
            "nec_capacity_manual",
            "Run it at less power on the supply, or leave it off.",
        )
    ]


def _house_wire(circuit: Circuit, pointer: str, job: Job, tables: SizingTables) -> list[Finding]:
    size, material = circuit.conductor_size, circuit.conductor_material
    # In this column small conductors carry just what 240.4(D) lets protect them.
    ampacity = tables.ampacity[material, HOUSE_WIRING_COLUMN_C].get(size)
    allowed = (
        0 if ampacity is None else next_standard_rating(ampacity, job.site.code_edition, tables)
    )
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


def _protection(circuit: Circuit, pointer: str, job: Job) -> list[Finding]:
    if circuit.protection == "standard" or job.transfer.method in CIRCUITS_STAY:
        return []
    kind = {"afci": "an AFCI", "gfci": "a GFCI", "dual": "a combined AFCI and GFCI"}
    if job.transfer.method == "subpanel":
        return [
            Finding(
                "warning",
                "PROTECTION_MOVES_WITH_CIRCUIT",
                f"{circuit.name} has {kind[circuit.protection]} breaker in the load centre; in "
                "the subpanel it needs the same protection.",
                f"{pointer}/protection",
                "nec_protection_of_relocated_circuit",
                "Fit such a breaker, listed for the subpanel, and land the circuit's own neutral "
                "on it.",
            )
        ]
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
        "centre, and group their wires with ties. If both hots are found on one leg, move one: "
        "the neutral carries the sum.",
    )


def check_afci(job: Job, tables: SizingTables) -> tuple[Finding, ...]:
    """A warning for each run that lengthens branch circuits by more than the exception allows.

    Lengths inside enclosures do not count, so the run's length is compared. Circuits that stay
    in the load centre are not lengthened.
    """
    if job.transfer.method in CIRCUITS_STAY:
        return ()
    limit = tables.limits.afci_extension_max_ft
    bare = [c.name for c in job.circuits if c.protection not in ("afci", "dual") and c.poles == 1]
    if not bare:
        return ()
    return tuple(
        _afci_extension(job, run, index, bare, limit)
        for index, run in enumerate(job.runs)
        if "inlet" not in (run.from_, run.to) and run.length_ft > limit
    )


def _afci_extension(job: Job, run: Run, index: int, bare: Sequence[str], limit: Decimal) -> Finding:
    where = "in the subpanel" if job.transfer.method == "subpanel" else "where they start"
    return Finding(
        "warning",
        "AFCI_EXTENSION",
        f"The run to the load centre lengthens branch circuits by {plain(run.length_ft)} ft; "
        f"over {plain(limit)} ft those in living rooms need AFCI protection.",
        f"/runs/{index}/length_ft",
        "nec_afci_extension",
        f"Mount the transfer equipment within {plain(limit)} ft of the load centre, or fit AFCI "
        f"breakers {where} for those of {', '.join(bare)} that serve such rooms.",
    )
