"""Situations met in the trade that are about supply and transfer equipment, with their answers.

Sources: public question threads and articles, retold; the rules are named in each test.
"""

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_jobs import (
    FEEDER,
    TABLES,
    WHIP,
    a_circuit,
    codes,
    designed,
    finding_of,
    two_pole,
)

from estimator.published.sources import load_sources

STRAIGHT = (replace(FEEDER, to="load_centre"),)
INTERLOCK = {"method": "interlock", "factory_whip": False}


def test_c11_bonded_generator_with_gfci_on_an_interlock():
    design = designed(
        a_circuit(),
        transfer=INTERLOCK,
        runs=STRAIGHT,
        supply={"kind": "generator", "neutral": "bonded", "outlet_gfci": True},
    )

    bond = finding_of(design, "NEUTRAL_BONDED_TWICE")
    assert "flows in the ground wire" in bond.message
    assert "switches the neutral, or a supply with a floating neutral" in bond.remedy
    assert "usually trips" in finding_of(design, "GFCI_OUTLET_TRIPS").message
    assert "only for a supply whose neutral floats" in finding_of(design, "INLET_SIGN").message


def test_c13_120_v_source_on_an_l14_30_inlet():
    supply = {"system": "120", "outlet": "L5-30", "continuous_w": Decimal(3100)}
    loads = [a_circuit("Furnace", 900), a_circuit("Refrigerator", 700), a_circuit("Lights", 400)]

    design = designed(*loads, supply=supply)
    with_pump = designed(*loads, two_pole("Pump", 500), supply=supply)

    assert finding_of(design, "ADAPTER_CORD").severity == "warning"
    assert "LEGS_BRIDGED" in codes(design)
    assert {c.size for c in design.runs[0].conductors} == {"10 AWG"}
    # The neutral carries the sum and is counted; 3100 W is 25.8 A.
    assert design.runs[0].current_carrying == 3
    assert {circuit.leg for circuit in design.circuits} == {"L1"}
    assert finding_of(with_pump, "ADAPTER_CORD").severity == "error"
    assert finding_of(with_pump, "TWO_POLE_ON_120_V").where == "/circuits/3"


@pytest.mark.parametrize("method", ["manual_switch", "interlock"])
def test_c15_gas_furnace_gets_its_neutral_bond_from_the_house(method):
    runs = STRAIGHT if method == "interlock" else None
    design = designed(
        a_circuit("Furnace", 960),
        transfer={"method": method},
        **({"runs": runs} if runs else {}),
    )

    note = finding_of(design, "NEUTRAL_BONDED_BY_HOUSE")
    assert note.severity == "note"
    assert "no bonding plug" in note.remedy


def test_c15_switched_neutral_leaves_the_furnace_without_a_bond():
    design = designed(a_circuit("Furnace", 960), transfer={"switched_neutral": True})

    assert "sense its flame" in finding_of(design, "NEUTRAL_NOT_BONDED").message


def test_c17_30_a_source_need_not_carry_the_whole_panel_by_hand():
    loads = [two_pole("Oven", 6000, breaker_a=50), a_circuit("Lights", 1200)]
    by_hand = designed(
        *loads,
        transfer=INTERLOCK,
        runs=STRAIGHT,
        supply={"continuous_w": Decimal(7000), "surge_w": None},
    )
    by_itself = designed(
        *loads,
        transfer={"method": "automatic_switch", "rating_a": 200},
        supply={"continuous_w": Decimal(7000), "surge_w": None},
    )

    assert finding_of(by_hand, "SUPPLY_OVERLOADED").severity == "warning"
    assert "the user chooses" in finding_of(by_hand, "USER_SELECTS_LOADS").message
    assert not [f for f in by_hand.findings if f.severity == "error"]
    assert finding_of(by_itself, "SUPPLY_OVERLOADED").severity == "error"


def test_c18_interlock_wants_a_listed_kit_and_a_real_retainer():
    design = designed(a_circuit(), transfer=INTERLOCK, runs=STRAIGHT)

    kit = finding_of(design, "INTERLOCK_LISTED_FOR_PANEL")
    retainer = finding_of(design, "BACKFED_BREAKER_HOLD_DOWN")
    assert "manual_switch or a subpanel" in kit.remedy
    assert "not a cable tie" in retainer.remedy
    assert retainer.source == "nec_backfed_breaker"


@pytest.mark.parametrize(
    ("running", "times", "fits", "marginal"),
    [(1840, 3, True, False), (1840, 6, False, False), (2300, 3, True, True)],
)
def test_c25_well_pump_on_a_7200_w_source(running, times, fits, marginal):
    design = designed(
        two_pole("Well pump", running, starting_w=Decimal(running * times)),
        supply={"continuous_w": Decimal(7200), "surge_w": Decimal(7200)},
    )

    assert design.load_study.fits is fits
    assert ("STARTING_PEAK_MARGINAL" in codes(design)) is marginal
    assert ("SUPPLY_SURGE_TOO_LOW" in codes(design)) is not fits
    assert design.transfer.spaces_needed == 2


def test_c29_3_0_aluminium_and_1_0_copper_both_carry_150_a_at_75_c():
    ampacity = TABLES.ampacity

    assert ampacity["cu", 75]["1/0 AWG"] == 150
    assert ampacity["al", 75]["3/0 AWG"] == 155


@pytest.mark.parametrize(("material", "size"), [("cu", "1/0 AWG"), ("al", "3/0 AWG")])
def test_c29_150_a_feeder_of_an_automatic_switch_in_either_metal(material, size):
    run = replace(
        FEEDER, from_="transfer", to="load_centre", conductor_material=material, wiring_method="EMT"
    )
    design = designed(
        a_circuit(),
        transfer={"method": "automatic_switch", "rating_a": 150, "factory_whip": False},
        load_centre={"main_a": 150},
        runs=(FEEDER, run),
    )

    assert design.runs[1].conductors[0].size == size


def pairs(count):
    return [
        circuit
        for n in range(count)
        for circuit in (
            a_circuit(f"Left {n}", 300, shared_neutral_with=f"Right {n}"),
            a_circuit(f"Right {n}", 200),
        )
    ]


@pytest.mark.parametrize(("count", "singles", "size"), [(2, 2, 6), (3, 1, 8), (4, 1, 10)])
def test_c30_each_shared_neutral_takes_two_neighbouring_positions(count, singles, size):
    design = designed(*pairs(count), *[a_circuit(f"Single {n}", 100) for n in range(singles)])

    assert design.transfer.spaces == size
    by_name = {circuit.name: circuit for circuit in design.circuits}
    for n in range(count):
        left, right = by_name[f"Left {n}"], by_name[f"Right {n}"]
        assert {left.leg, right.leg} == {"L1", "L2"}
        assert abs(int(left.position) - int(right.position)) == 1
    tie = finding_of(design, "SHARED_NEUTRAL_HANDLE_TIE")
    assert "the neutral carries the sum" in tie.remedy


@pytest.mark.parametrize("method", ["manual_switch", "interlock", "subpanel", "automatic_switch"])
def test_c23_permit_and_signs_are_told_with_every_kind_of_transfer(method):
    # 702.7(A) a sign at the service for what stays, 702.7(C) one at the inlet for every supply.
    fixed = designed(a_circuit(), transfer={"method": method}, supply={"portable": False})

    assert finding_of(fixed, "PERMIT").remedy.startswith("Ask the local building office")
    assert {"INLET_SIGN", "SERVICE_SIGN"} <= codes(fixed)


@pytest.mark.parametrize(
    ("rise_f", "feet", "change_in", "fittings"),
    [
        # Table 352.44: 4.06 in per 100 ft and 100 F; a fitting from 1/4 in on.
        ("100", "50", "2.028", 1),
        ("130", "50", "2.636", 1),
        ("100", "6.2", "0.251", 1),
        ("100", "6.1", None, 0),
    ],
)
def test_c26_pvc_along_the_eaves_takes_an_expansion_fitting(rise_f, feet, change_in, fittings):
    eaves = replace(
        FEEDER,
        length_ft=Decimal(feet),
        wiring_method="PVC-40",
        place="outdoor",
        exposure="wet",
        temperature_change_c=Decimal(rise_f) * 5 / 9,
    )

    run = designed(a_circuit(), runs=(eaves, WHIP)).runs[0]

    assert run.expansion_fittings == fittings
    if change_in is not None:
        assert run.expansion_change_in == Decimal(change_in)


def test_c26_emt_in_its_place_takes_none():
    eaves = replace(FEEDER, length_ft=Decimal(50), place="outdoor", exposure="wet")

    assert designed(a_circuit(), runs=(eaves, WHIP)).runs[0].expansion_fittings == 0


def test_c28_cable_straight_through_the_wall_is_an_indoor_run():
    # 334.12(B)(4) forbids NM-B in wet places; through the wall into the box's back it is in none.
    through = replace(FEEDER, length_ft=Decimal("1.5"), wiring_method="NM-B", bends_deg=())

    inside = designed(a_circuit(), runs=(through, WHIP))
    outside = designed(a_circuit(), runs=(replace(through, place="outdoor", exposure="wet"), WHIP))

    assert inside.runs[0].trade_size is None
    assert {(c.role, c.size) for c in inside.runs[0].conductors} == {
        ("ungrounded", "10 AWG"),
        ("neutral", "10 AWG"),
        ("equipment_ground", "10 AWG"),
    }
    assert not [f for f in inside.findings if f.severity == "error"]
    assert any(
        f.severity == "error" and "334.12" in load_sources()[f.source].section
        for f in outside.findings
    )
