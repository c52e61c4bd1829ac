"""Situations met in the trade, each with the numbers and the answer that is right.

Sources: public question threads and articles, retold; the rules are named in each test.
"""

from decimal import Decimal

import pytest
from sizing_jobs import (
    TABLES,
    a_circuit,
    codes,
    designed,
    finding_of,
    with_feeder,
    with_switch_run,
)

from estimator.sizing.fill import fill_percent
from estimator.sizing.raceway import smallest_raceway
from estimator.units import circle_area_in2

THHN = TABLES.dimensions["THHN/THWN-2"]
LARGE = {"continuous_w": Decimal(12000), "surge_w": Decimal(20000), "outlet": "14-50"}


def hot_sizes(run):
    return {c.size for c in run.conductors if c.role == "ungrounded"}


def six_circuits():
    return [a_circuit(f"Circuit {n}", 100, breaker_a=15 if n < 4 else 20) for n in range(1, 7)]


@pytest.mark.parametrize(
    ("length", "size", "percent"), [(60, "10 AWG", "1.86"), (100, "8 AWG", "1.95")]
)
def test_c01_30_a_inlet_over_60_and_100_ft(length, size, percent):
    design = designed(a_circuit(), runs=with_feeder(length_ft=Decimal(length)))

    feeder = design.runs[0]
    assert feeder.enough_without_drop == "10 AWG"
    assert hot_sizes(feeder) == {size}
    # 8 AWG at 100 ft: 4.67 V, 1.945 %.
    assert feeder.voltage_drop_percent == Decimal(percent)


def test_c01_30_a_inlet_over_100_ft_stays_10_awg_when_the_target_is_relaxed():
    design = designed(
        a_circuit(),
        runs=with_feeder(length_ft=Decimal(100)),
        voltage_drop_target_percent=Decimal(5),
    )

    assert hot_sizes(design.runs[0]) == {"10 AWG"}
    assert design.runs[0].voltage_drop_percent == Decimal("3.10")


def test_c01_all_load_on_one_leg_at_24_a():
    design = designed(
        a_circuit(),
        runs=with_feeder(length_ft=Decimal(100)),
        supply={"continuous_w": Decimal(5760)},
    )

    assert hot_sizes(design.runs[0]) == {"10 AWG"}
    assert design.runs[0].voltage_drop_one_leg_percent == Decimal("4.96")


def test_c01_indoor_cable_does_not_go_outdoors():
    design = designed(runs=with_feeder(wiring_method="NM-B", place="outdoor", exposure="wet"))

    assert "METHOD_NOT_FOR_WET_PLACE" in codes(design)


@pytest.mark.parametrize(
    ("feet", "fifteen", "twenty", "limit"),
    [("2", "14 AWG", "12 AWG", 60), ("6", "12 AWG", "10 AWG", 40)],
)
def test_c03_whip_of_six_circuits_as_field_wiring(feet, fifteen, twenty, limit):
    design = designed(
        *six_circuits(),
        runs=with_switch_run(length_ft=Decimal(feet), wiring_method="EMT"),
        transfer={"factory_whip": False},
    )

    run = design.runs[1]
    assert [c.conductor_size for c in design.circuits] == [fifteen] * 3 + [twenty] * 3
    assert run.current_carrying == 12
    assert run.fill_limit_percent == limit


def test_c03_factory_whip_stays_as_supplied():
    design = designed(*six_circuits(), transfer={"whip_length_ft": Decimal(2)})

    assert design.runs[1].factory_whip
    assert [c.conductor_size for c in design.circuits] == ["14 AWG"] * 3 + ["12 AWG"] * 3


def test_c03_twelve_12_awg_and_two_10_awg_fit_three_quarter_emt():
    bundle = ((THHN["12 AWG"], 12), (THHN["10 AWG"], 2))

    choice = smallest_raceway("EMT", bundle, False, TABLES)

    area = sum(row.area_in2 * count for row, count in bundle)
    assert area == Decimal("0.2018")
    assert choice.trade_size == "3/4"


@pytest.mark.parametrize(
    ("method", "terminal_c", "size"),
    [("NM-B", 60, "6 AWG"), ("NM-B", 75, "6 AWG"), ("EMT", 75, "8 AWG"), ("EMT", 60, "6 AWG")],
)
def test_c07_50_a_inlet_is_6_awg_unless_both_terminals_are_marked(method, terminal_c, size):
    design = designed(
        a_circuit(),
        supply=LARGE,
        inlet={"configuration": "14-50", "terminal_temp_c": terminal_c},
        transfer={"rating_a": 50, "terminal_temp_c": terminal_c},
        runs=with_feeder(wiring_method=method, bends_deg=()),
    )

    assert hot_sizes(design.runs[0]) == {size}
    assert [c.size for c in design.runs[0].conductors if c.role == "equipment_ground"] == ["10 AWG"]


@pytest.mark.parametrize(
    ("raceway", "grounds", "trade_size"),
    [
        ("PVC-40", "6 AWG", "3/4"),
        ("PVC-40", "10 AWG", "3/4"),
        ("PVC-80", "6 AWG", "1"),
        ("PVC-80", "10 AWG", "1"),
        ("EMT", "6 AWG", "3/4"),
    ],
)
def test_c08_three_quarter_raceway_for_a_50_a_inlet(raceway, grounds, trade_size):
    bundle = (
        ((THHN["6 AWG"], 4),) if grounds == "6 AWG" else ((THHN["6 AWG"], 3), (THHN["10 AWG"], 1))
    )

    choice = smallest_raceway(raceway, bundle, False, TABLES)

    assert choice.trade_size == trade_size


def test_c08_four_6_awg_fill_three_quarter_schedule_40_by_a_hair():
    inside = dict(TABLES.raceways["PVC-40"])["3/4"]

    percent = fill_percent(((THHN["6 AWG"], 4),), inside)

    assert Decimal("39.9") < percent < 40
    assert 4 * THHN["6 AWG"].area_in2 == Decimal("0.2028")
    assert circle_area_in2(inside) * Decimal("0.4") > Decimal("0.2028")


def test_c10_50_ft_cord_for_a_50_a_inlet_is_6_awg():
    design = designed(
        a_circuit(),
        supply=LARGE,
        inlet={"configuration": "14-50"},
        transfer={"rating_a": 50},
        cord_length_ft=Decimal(50),
    )

    assert (design.cord.conductor_size, design.cord.ampacity_a) == ("6 AWG", 55)
    assert design.cord.voltage_drop_percent == Decimal("1.02")


def test_c11_bonded_supply_on_an_unswitched_neutral():
    design = designed(supply={"neutral": "bonded", "outlet_gfci": True})

    assert {"NEUTRAL_BONDED_TWICE", "GFCI_OUTLET_TRIPS"} <= codes(design)
    assert "Never open the bond" in finding_of(design, "NEUTRAL_BONDED_TWICE").remedy


def test_c13_120_v_supply_into_a_120_240_v_inlet_by_adapter():
    design = designed(
        a_circuit("Furnace", 900),
        a_circuit("Lights", 300),
        supply={"system": "120", "outlet": "L5-30", "continuous_w": Decimal(3100)},
    )

    assert "ADAPTER_CORD" in codes(design)
    assert hot_sizes(design.runs[0]) == {"10 AWG"}
    # 3100 W on 120 V.
    drop = 2 * 18 * Decimal("1.24") * Decimal(3100) / 120 / 1000 / 120 * 100
    assert design.runs[0].voltage_drop_percent == drop.quantize(Decimal("0.01"))
