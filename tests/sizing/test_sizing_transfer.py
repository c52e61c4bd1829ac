"""Transfer switch: size, positions, and what may be joined to it."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_jobs import (
    a_circuit,
    codes,
    designed,
    finding_of,
    two_pole,
    with_switch_run,
)


def singles(count, **changes):
    return [a_circuit(f"C{n}", 100, **changes) for n in range(count)]


@pytest.mark.parametrize(
    ("circuits", "inlet", "size"),
    [(6, "L14-30", (6, 30)), (7, "L14-30", (8, 30)), (9, "14-30", (10, 30)), (6, "14-50", (8, 50))],
)
def test_smallest_switch_that_takes_poles_and_rating_is_chosen(circuits, inlet, size):
    rating = {"rating_a": 50 if inlet == "14-50" else 30}

    design = designed(*singles(circuits), inlet={"configuration": inlet}, transfer=rating)

    assert (design.transfer.spaces, design.transfer.rating_a) == size
    assert design.transfer.spaces_needed == design.transfer.spaces_used == circuits


def test_well_pump_takes_two_neighbouring_positions():
    design = designed(a_circuit("A", 300), two_pole("Well pump"), a_circuit("B", 200))

    places = {circuit.name: (circuit.position, circuit.leg) for circuit in design.circuits}
    assert places == {"A": ("1", "L1"), "Well pump": ("3-4", "L1+L2"), "B": ("2", "L2")}
    assert design.transfer.spaces_needed == 4


def test_shared_neutral_takes_neighbouring_positions_on_opposite_legs():
    design = designed(
        a_circuit("A", 300),
        a_circuit("Left", 100, shared_neutral_with="Right"),
        a_circuit("Right", 900),
    )

    places = {circuit.name: circuit for circuit in design.circuits}
    pair = [int(places[name].position) for name in ("Left", "Right")]
    assert {places["Left"].leg, places["Right"].leg} == {"L1", "L2"}
    assert abs(pair[0] - pair[1]) == 1
    assert min(pair) % 2 == 1
    note = finding_of(design, "SHARED_NEUTRAL_HANDLE_TIE")
    assert note.severity == "note"
    assert "identified handle tie" in note.remedy


def test_two_shared_neutrals_leave_two_positions_of_six():
    pairs = [
        circuit
        for n in (1, 2)
        for circuit in (
            a_circuit(f"L{n}", 100 * n, shared_neutral_with=f"R{n}"),
            a_circuit(f"R{n}", 50),
        )
    ]

    fitting = designed(*pairs, *singles(2))
    more = designed(*pairs, *singles(3))

    assert fitting.transfer.spaces == 6
    assert more.transfer.spaces == 8


@pytest.mark.parametrize("spaces", [6, 7, 10])
def test_every_position_is_used_once_and_lies_on_the_circuit_s_leg(spaces):
    circuits = [two_pole("Pump", 900), *singles(spaces - 2)]

    design = designed(*circuits, transfer={"spaces": spaces})

    taken = []
    for circuit in design.circuits:
        numbers = [int(number) for number in circuit.position.split("-")]
        taken += numbers
        if circuit.poles == 1:
            assert circuit.leg == ("L1" if numbers[0] % 2 else "L2")
    assert sorted(taken) == list(range(1, spaces + 1))


def test_too_few_positions_is_an_error_and_the_rest_is_designed():
    design = designed(*singles(5), transfer={"spaces": 4})

    finding = finding_of(design, "TRANSFER_SPACES_TOO_FEW")
    assert finding.severity == "error"
    assert "take 5 positions" in finding.message
    assert "switch of 5 or more" in finding.remedy
    assert design.transfer.spaces_used == 4
    assert [circuit.position for circuit in design.circuits].count("") == 1
    assert len(design.runs) == 2


def test_more_circuits_than_the_largest_switch_is_an_error():
    fitting = designed(*singles(10))
    over = designed(*singles(11))

    assert "TRANSFER_TOO_MANY_CIRCUITS" not in codes(fitting)
    finding = finding_of(over, "TRANSFER_TOO_MANY_CIRCUITS")
    assert finding.severity == "error"
    assert "transfer subpanel" in finding.remedy


@pytest.mark.parametrize(
    ("method", "rating", "largest", "most"),
    [("manual_switch", 60, 50, 10), ("subpanel", 150, 125, 20)],
)
def test_a_rating_that_is_not_made_is_told_and_circuits_only_if_too_many(
    method, rating, largest, most
):
    fitting = designed(*singles(most), transfer={"method": method, "rating_a": rating})
    over = designed(*singles(most + 1), transfer={"method": method, "rating_a": rating})
    stated = designed(transfer={"method": method, "rating_a": rating, "spaces": 6})

    finding = finding_of(fitting, "TRANSFER_RATING_NOT_MADE")
    assert finding.where == "/transfer/rating_a"
    assert f"made for {rating} A; the largest is for {largest} A" in finding.message
    assert "TRANSFER_TOO_MANY_CIRCUITS" not in codes(fitting)
    assert fitting.transfer.rating_a == rating
    assert {"TRANSFER_RATING_NOT_MADE", "TRANSFER_TOO_MANY_CIRCUITS"} <= codes(over)
    assert "TRANSFER_RATING_NOT_MADE" not in codes(stated)


def test_switch_rated_below_its_inlet_is_an_error():
    design = designed(inlet={"configuration": "14-50"}, transfer={"rating_a": 30})

    finding = finding_of(design, "TRANSFER_RATED_BELOW_INLET")
    assert finding.severity == "error"
    assert "transfer equipment of 50 A or more" in finding.remedy
    assert design.transfer.rating_a == 50


@pytest.mark.parametrize(("breaker", "found"), [(30, False), (40, True)])
def test_circuit_larger_than_the_switch_is_an_error(breaker, found):
    design = designed(two_pole(breaker_a=breaker, conductor_size="8 AWG"))

    assert ("CIRCUIT_OVER_TRANSFER" in codes(design)) is found
    if found:
        assert "of 40 A or more" in finding_of(design, "CIRCUIT_OVER_TRANSFER").remedy


@pytest.mark.parametrize(
    "changes",
    [
        {"supply": {"system": "120", "outlet": "L5-30"}, "inlet": {"configuration": "L5-30"}},
        {"supply": {"system": "120", "outlet": "TT-30"}},
        {"inlet": {"configuration": "L5-30"}},
    ],
)
def test_120_v_feed_refuses_two_pole_circuits_and_shared_neutrals(changes):
    design = designed(
        two_pole("Well pump"),
        a_circuit("Left", 100, shared_neutral_with="Right"),
        a_circuit("Right", 200),
        **changes,
    )

    pump = finding_of(design, "TWO_POLE_ON_120_V")
    pair = finding_of(design, "SHARED_NEUTRAL_ON_120_V")
    assert (pump.severity, pump.where) == ("error", "/circuits/0")
    assert (pair.severity, pair.where) == ("error", "/circuits/1/shared_neutral_with")
    assert "Leave this circuit out" in pump.remedy
    assert "Leave both circuits out" in pair.remedy
    assert len(design.circuits) == 3


def test_120_v_feed_bridges_the_legs_of_the_switch():
    design = designed(
        *singles(6), supply={"system": "120", "outlet": "L5-30"}, inlet={"configuration": "L5-30"}
    )

    note = finding_of(design, "LEGS_BRIDGED")
    assert [circuit.position for circuit in design.circuits] == list("123456")
    assert note.severity == "note"
    assert "only if the equipment's instructions allow it" in note.remedy


def test_interlock_needs_only_the_run_from_the_inlet_to_the_load_centre():
    feeder = with_switch_run()[0]
    design = designed(transfer={"method": "interlock"}, runs=(replace(feeder, to="load_centre"),))

    assert "RUN_MISSING" not in codes(design)
    assert design.runs[0].conductors


def test_missing_run_is_an_error():
    design = designed(runs=with_switch_run()[:1])

    finding = finding_of(design, "RUN_MISSING")
    assert finding.severity == "error"
    assert "Add a run from transfer to load_centre" in finding.remedy


@pytest.mark.parametrize(
    ("circuit", "text"),
    [
        (a_circuit(breaker_a=20, conductor_size="14 AWG"), "fit a 15 A breaker on both sides"),
        (a_circuit(breaker_a=20, conductor_size="12 AWG", conductor_material="al"), "a 15 A"),
        (a_circuit(breaker_a=15, conductor_size="18 AWG"), "Give the size"),
    ],
)
def test_breaker_too_large_for_the_wire_in_the_wall_is_warned_about(circuit, text):
    design = designed(circuit)

    finding = finding_of(design, "HOUSE_WIRE_TOO_SMALL")
    assert finding.severity == "warning"
    assert text in finding.remedy


@pytest.mark.parametrize(
    ("breaker", "size"), [(15, "14 AWG"), (20, "12 AWG"), (30, "10 AWG"), (40, "8 AWG")]
)
def test_usual_house_wire_is_not_warned_about(breaker, size):
    design = designed(a_circuit(breaker_a=breaker, conductor_size=size))

    assert "HOUSE_WIRE_TOO_SMALL" not in codes(design)


@pytest.mark.parametrize("protection", ["afci", "gfci", "dual"])
def test_protected_breaker_is_warned_about(protection):
    design = designed(a_circuit(protection=protection))

    finding = finding_of(design, "PROTECTION_LOST_ON_SUPPLY")
    assert finding.severity == "warning"
    assert "first outlet" in finding.remedy


@pytest.mark.parametrize(
    ("supply", "switched", "code", "text"),
    [
        ({"neutral": "bonded"}, False, "error NEUTRAL_BONDED_TWICE", "switches the neutral"),
        ({"neutral": "unknown"}, False, "warning NEUTRAL_BOND_UNKNOWN", "Read the marking"),
        ({"neutral": "floating"}, True, "error NEUTRAL_NOT_BONDED", "unswitched"),
        ({"outlet_gfci": True}, False, "warning GFCI_OUTLET_TRIPS", "Do not defeat"),
    ],
)
def test_neutral_that_does_not_suit_the_switch_is_told(supply, switched, code, text):
    design = designed(supply=supply, transfer={"switched_neutral": switched})

    severity, code = code.split()
    finding = finding_of(design, code)
    assert finding.severity == severity
    assert text in finding.remedy


@pytest.mark.parametrize(
    ("neutral", "gfci", "switched"), [("floating", False, False), ("bonded", True, True)]
)
def test_neutral_that_suits_the_switch_gives_no_warning(neutral, gfci, switched):
    design = designed(
        supply={"neutral": neutral, "outlet_gfci": gfci}, transfer={"switched_neutral": switched}
    )

    assert not {finding.code for finding in design.findings if finding.severity != "note"}


@pytest.mark.parametrize("configuration", ["6-30", "L6-30"])
def test_inlet_without_neutral_is_an_error(configuration):
    design = designed(inlet={"configuration": configuration})

    finding = finding_of(design, "INLET_WITHOUT_NEUTRAL")
    assert finding.severity == "error"
    assert "L14-30" in finding.remedy
    assert {c.role for c in design.runs[0].conductors} == {"ungrounded", "equipment_ground"}


def test_inlet_without_ground_is_an_error():
    design = designed(inlet={"configuration": "10-30"})

    finding = finding_of(design, "INLET_WITHOUT_GROUND")
    assert finding.severity == "error"
    assert "with an equipment ground" in finding.remedy


@pytest.mark.parametrize(
    ("edition", "place", "portable", "watts", "found"),
    [
        ("2023", "indoor", True, 15000, True),
        ("2023", "indoor", True, 15001, False),
        ("2023", "indoor", True, None, True),
        ("2023", "indoor", False, 5000, False),
        ("2023", "outdoor", True, 5000, False),
        ("2020", "indoor", True, 5000, False),
    ],
)
def test_inlet_of_a_portable_supply_is_outdoors_from_2023(edition, place, portable, watts, found):
    design = designed(
        site={"code_edition": edition},
        inlet={"place": place},
        supply={
            "portable": portable,
            "continuous_w": None if watts is None else Decimal(watts),
            "surge_w": None,
        },
    )

    assert ("INLET_NOT_OUTDOORS" in codes(design)) is found
    if found:
        finding = finding_of(design, "INLET_NOT_OUTDOORS")
        assert finding.severity == "error"
        assert "Put the inlet on an outside wall" in finding.remedy


def test_outlet_above_the_inlet_is_an_error_and_below_a_note():
    above = designed(supply={"outlet": "14-50"})
    below = designed(
        supply={"outlet": "L14-30"}, inlet={"configuration": "14-50"}, transfer={"rating_a": 50}
    )

    error = finding_of(above, "OUTLET_OVER_INLET")
    note = finding_of(below, "OUTLET_LIMITS_INLET")
    assert (error.severity, note.severity) == ("error", "note")
    assert "inlet of 50 A or more" in error.remedy
    assert "each leg at 30 A or less" in note.remedy


def test_outlet_without_neutral_is_an_error():
    design = designed(supply={"outlet": "L6-30"})

    finding = finding_of(design, "OUTLET_WITHOUT_NEUTRAL")
    assert finding.severity == "error"
    assert "has a neutral" in finding.remedy


def test_adapter_from_120_v_to_120_240_v_is_warned_about():
    design = designed(a_circuit(), supply={"system": "120", "outlet": "L5-30"})

    finding = finding_of(design, "ADAPTER_CORD")
    assert finding.severity == "warning"
    assert "no 240 V circuit" in finding.remedy
    assert (design.cord.plug, design.cord.connector) == ("L5-30P", "L14-30R")


@pytest.mark.parametrize(
    ("outlet", "size", "conductors", "ampacity"),
    [("L14-20", "12 AWG", 4, 25), ("L5-30", "10 AWG", 3, 30), ("14-50", "6 AWG", 4, 55)],
)
def test_cord_is_sized_by_its_outlet(outlet, size, conductors, ampacity):
    design = designed(a_circuit(), supply={"outlet": outlet}, inlet={"configuration": "14-50"})

    assert (design.cord.conductor_size, design.cord.conductors) == (size, conductors)
    assert design.cord.ampacity_a == ampacity


@pytest.mark.parametrize(
    ("code", "text"),
    [
        ("SPLICES_IN_LOAD_CENTRE", "Ask the inspector"),
        ("WORKING_SPACE", "36 in deep, 30 in wide and 78 in high"),
        ("PERMIT", "local building office"),
        ("INLET_SIGN", "beside the inlet"),
        ("NEUTRAL_BONDED_BY_HOUSE", "no bonding plug"),
    ],
)
def test_standing_notes_come_with_every_manual_switch(code, text):
    design = designed(a_circuit())

    note = finding_of(design, code)
    assert note.severity == "note"
    assert text in note.remedy
    assert {finding.severity for finding in design.findings} == {"note"}


def test_a_switch_that_takes_the_neutral_over_has_each_circuits_own_neutral_in_and_out():
    """NFPA 70-2023, 200.4(A), 300.3(B): one neutral is not for several branch circuits; the
    conductors of a circuit go together. 310.15(E)(1): a neutral that carries only the unbalance
    of a pair on both legs is not counted."""
    circuits = [
        a_circuit("Lights", 300, breaker_a=15),
        a_circuit("Left", 400, breaker_a=20, shared_neutral_with="Right"),
        a_circuit("Right", 400, breaker_a=15),
        two_pole("Well pump", 900),
    ]

    design = designed(
        *circuits,
        transfer={"switched_neutral": True, "factory_whip": False},
        runs=with_switch_run(wiring_method="EMT", length_ft=Decimal(6)),
    )
    run = design.runs[1]

    neutrals = {c.serves: (c.count, c.size) for c in run.conductors if c.role == "neutral"}
    hots = {c.serves: c.size for c in run.conductors if c.role == "ungrounded"}
    assert neutrals == {
        "Lights": (2, hots["Lights"]),
        "Left and Right": (2, hots["Left"]),
        "Well pump": (2, hots["Well pump"]),
    }
    # Lights 2 hots and 2 neutrals, the pair 4 hots, the pump 4 hots.
    assert run.current_carrying == 12


def test_a_switch_that_leaves_the_neutral_has_one_for_all():
    run = designed(a_circuit("A", 300), a_circuit("B", 300)).runs[1]

    assert [(c.count, c.serves) for c in run.conductors if c.role == "neutral"] == [
        (1, "all circuits")
    ]
    assert run.current_carrying == 4
