"""Breakers with what belongs to them: ties, hold-downs, fillers, breakers that make room."""

from collections.abc import Sequence

from estimator.basis import Because, because
from estimator.job.records import Circuit
from estimator.sizing.shared_neutrals import shared_neutral_pairs
from estimator.takeoff.consumables import use_up
from estimator.takeoff.taking import Taking

LOAD_CENTRE = "load centre"
SUBPANEL = "transfer subpanel"
_PROTECTION = {
    "standard": "without added protection",
    "afci": "arc-fault",
    "gfci": "ground-fault",
    "dual": "arc-fault and ground-fault",
}


def add_breaker(
    taking: Taking,
    panel: str,
    poles: int,
    rating_a: int,
    asked_by: str | tuple[str, ...],
    *reasons: Because,
    protection: str = "standard",
) -> None:
    """Count a breaker of a panel's own family."""
    listed = because(
        f"A breaker is of a type that is marked on the {panel}.",
        "nec_listing_instructions",
        rating_a=rating_a,
    )
    values = {
        "panel": panel,
        "poles": str(poles),
        "rating_a": str(rating_a),
        "protection": _PROTECTION[protection],
    }
    taking.parts.add("breaker", values, 1, asked_by, *reasons, listed)


def take_equipment_breakers(taking: Taking) -> None:
    """The breakers that the design adds in the load centre for the transfer equipment."""
    for breaker in taking.design.transfer.breakers:
        if breaker.back_fed:
            text = "The inlet feeds the load centre through this breaker."
            source = "nec_backfed_breaker"
        else:
            text = "The load centre feeds the transfer subpanel through this breaker."
            source = "nec_panel_ocpd"
        reason = because(text, source, poles=breaker.poles, rating_a=breaker.rating_a)
        add_breaker(taking, LOAD_CENTRE, breaker.poles, breaker.rating_a, "/transfer", reason)
        taking.work.add("two_pole_breaker", 1, reason)
        if breaker.back_fed:
            held = because(
                "A plug-on breaker that is fed backwards is held by more than its clips.",
                "nec_backfed_breaker",
            )
            taking.parts.add(
                "breaker_hold_down", {"poles": str(breaker.poles)}, 1, "/transfer", held
            )
            taking.work.add("breaker_accessory", 1, held)


def take_circuit_breakers(taking: Taking, circuits: Sequence[tuple[int, Circuit]]) -> None:
    """Breakers in the subpanel for the moved circuits, each with its number in the job.

    Two circuits with one neutral take two breakers and a tie, or one two-pole breaker where
    arc-fault or ground-fault protection has to see their common neutral.
    """
    pairs, _ = shared_neutral_pairs(taking.job.circuits)
    placed = dict(circuits)
    paired: dict[int, int] = {one: other for one, other in pairs if {one, other} <= set(placed)}
    as_one = {one: other for one, other in paired.items() if _protected(placed, one, other)}
    second = set(as_one.values())
    for place, circuit in circuits:
        if place in second:
            continue
        if place in as_one:
            _take_pair_breaker(taking, place, as_one[place])
            continue
        reason = because(
            "A moved circuit has its breaker in the subpanel; the one in the load centre comes "
            "out and does not fit there.",
            "nec_240_4",
            breaker_a=circuit.breaker_a,
        )
        add_breaker(
            taking,
            SUBPANEL,
            circuit.poles,
            circuit.breaker_a,
            f"/circuits/{place}",
            reason,
            protection=circuit.protection,
        )


def _protected(circuits: dict[int, Circuit], *places: int) -> bool:
    return any(circuits[place].protection != "standard" for place in places)


def _take_pair_breaker(taking: Taking, one: int, other: int) -> None:
    circuits = taking.job.circuits
    first, second = circuits[one], circuits[other]
    rating = min(first.breaker_a, second.breaker_a)
    kinds = {first.protection, second.protection} - {"standard"}
    protection = kinds.pop() if len(kinds) == 1 else "dual"
    pointers = (f"/circuits/{one}", f"/circuits/{other}")
    reason = because(
        "Protection that watches the neutral has to see both hots of a shared one: a two-pole "
        "breaker instead of two that are tied.",
        "nec_protection_of_relocated_circuit",
        breaker_a=rating,
    )
    add_breaker(taking, SUBPANEL, 2, rating, pointers, reason, protection=protection)
    if first.breaker_a != second.breaker_a:
        taking.find(
            "warning",
            "PAIR_BREAKER_RATING",
            f"{first.name} ({first.breaker_a} A) and {second.name} ({second.breaker_a} A) share a "
            f"neutral and take one two-pole breaker; it is taken off at {rating} A.",
            pointers[0],
            "nec_protection_of_relocated_circuit",
            "Check that both circuits can do with the smaller rating, or part their neutrals.",
        )


def take_ties(taking: Taking) -> None:
    """Ties where two circuits with one neutral start, and grouping of their wires."""
    pairs, _ = shared_neutral_pairs(taking.job.circuits)
    positions = {one.name: one.position for one in taking.design.circuits}
    for one, other in pairs:
        circuits = (taking.job.circuits[one], taking.job.circuits[other])
        if not all(positions.get(circuit.name) for circuit in circuits):
            continue
        pointers = (f"/circuits/{one}", f"/circuits/{other}")
        count, text = _ties(taking, circuits)
        tie = because(text, "nec_handle_ties")
        taking.parts.add("handle_tie", {"poles": "2"}, count, pointers, tie)
        taking.work.add("breaker_accessory", count, tie)
        group = because(
            "Wires of a shared neutral are grouped in the load centre.", "nec_multiwire_grouping"
        )
        use_up(taking, "cable_tie", 1, pointers[0], group)


def _ties(taking: Taking, circuits: tuple[Circuit, Circuit]) -> tuple[int, str]:
    method = taking.job.transfer.method
    if method == "manual_switch":
        return 2, (
            "Two circuits with one neutral open together: a tie in the load centre and one on "
            "the switch."
        )
    if method == "subpanel":
        if any(circuit.protection != "standard" for circuit in circuits):
            return 0, "Their two-pole breaker opens both."
        return 1, "Two circuits with one neutral open together: a tie in the subpanel."
    return 1, (
        "Two circuits with one neutral open together: a tie in the load centre, where they stay, "
        "unless they have one."
    )


def close_spaces(taking: Taking, opened: int, taken: int) -> None:
    """Fillers for spaces of the load centre that lose their breaker and get no other.

    opened: spaces that moved circuits give up; taken: by breakers added.
    """
    left = max(0, opened - taken)
    reason = because(
        "A space whose breaker was taken out is closed.",
        "nec_unused_openings",
        opened=opened,
        taken_again=min(opened, taken),
    )
    taking.parts.add("breaker_filler", {"spaces": "1"}, left, "/load_centre", reason)
    taking.work.add("breaker_accessory", left, reason)
