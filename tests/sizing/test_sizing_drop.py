"""Voltage drop of cord and runs, and what is done when it is too much."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sizing_jobs import TABLES, a_circuit, codes, designed, finding_of, with_feeder, with_switch_run

from estimator.sizing.drop_checks import check_drop
from estimator.sizing.fill import holds
from estimator.sizing.records import Design
from estimator.sizing.runs import bundle_of
from estimator.sizing.voltage_drop import (
    DropLimit,
    drop_percent,
    effective_ohm_per_kft,
    size_within_drop,
)
from estimator.units import wire_rank

IMPEDANCE = {(row.size, row.material, row.conduit): row for row in TABLES.ac}
NARROW = {"system": "120", "continuous_w": Decimal(3600), "outlet": "L5-30"}
LARGE = {
    "supply": {"continuous_w": Decimal(12000), "surge_w": Decimal(20000), "outlet": "14-50"},
    "inlet": {"configuration": "14-50"},
    "transfer": {"rating_a": 50},
}


@pytest.mark.parametrize(
    ("power_factor", "ohms"),
    # 250 kcmil copper in steel: R 0.054, X 0.052, printed Z 0.073
    [("1", "0.054"), ("0.9", "0.0712663"), ("0.85", "0.073"), ("0.8", "0.0744")],
)
def test_impedance_follows_the_power_factor(power_factor: str, ohms: str) -> None:
    """NFPA 70 Chapter 9 Table 9, note 2."""
    row = IMPEDANCE["250 kcmil", "cu", "steel"]

    found = effective_ohm_per_kft(row, Decimal(power_factor))

    assert abs(found - Decimal(ohms)) < Decimal("0.0000001")


@pytest.mark.parametrize("row", TABLES.ac, ids=lambda r: f"{r.size} {r.material} {r.conduit}")
def test_the_printed_impedance_is_the_formula_at_its_power_factor(row) -> None:
    near = effective_ohm_per_kft(row, Decimal("0.8500001"))

    # Both printed columns have two digits.
    step = Decimal(1).scaleb(row.z_ohm_per_kft.adjusted() - 1)
    assert abs(near - row.z_ohm_per_kft) <= step


@pytest.mark.parametrize(
    ("method", "conduit"),
    [
        ("EMT", "steel"), ("RMC", "steel"), ("IMC", "steel"), ("FMC", "steel"),
        ("LFMC", "steel"), ("PVC-40", "nonmetallic"), ("PVC-80", "nonmetallic"),
        ("ENT", "nonmetallic"), ("LFNC-B", "nonmetallic"), ("NM-B", "nonmetallic"),
        ("UF-B", "nonmetallic"), ("SER", "nonmetallic"),
    ],
)  # fmt: skip
def test_the_raceway_decides_the_column_of_the_impedance_table(method: str, conduit: str) -> None:
    assert TABLES.wiring_methods[method].conduit == conduit


def test_large_wire_loses_more_in_steel_than_in_plastic() -> None:
    steel = TABLES.ohm_per_kft["cu", "steel"]
    plastic = TABLES.ohm_per_kft["cu", "nonmetallic"]

    assert steel["4/0 AWG"] > plastic["4/0 AWG"]
    # Up to 3 AWG Table 8 decides, which knows no raceway.
    assert steel["3 AWG"] == plastic["3 AWG"]


def total(design: Design) -> Decimal:
    feeder = sum(run.voltage_drop_percent for run in design.runs if "inlet" in (run.from_, run.to))
    return feeder + design.cord.voltage_drop_percent


def test_cord_and_feeder_together_are_shown() -> None:
    design = designed(a_circuit(), cord_length_ft=Decimal(20))

    # 10 AWG, 30 A on 240 V: 18 ft 0.558 %, 20 ft 0.62 %
    assert design.cord.voltage_drop_percent == Decimal("0.62")
    assert design.cord.total_drop_percent == Decimal("1.18") == total(design)
    assert design.cord.enough_without_drop == "10 AWG"
    assert not codes(design) & {"VOLTAGE_DROP_TOTAL", "CORD_RAISED_FOR_VOLTAGE_DROP"}


def test_the_cord_shows_the_drop_at_the_load_study_current() -> None:
    design = designed(a_circuit(watts=1200), cord_length_ft=Decimal(50))

    # 10 A on one leg: 2 x 50 x 1.24 x 10 / 1000 / 240
    assert design.cord.voltage_drop_at_load_percent == Decimal("0.52")


def test_a_long_cord_is_raised_to_a_stocked_size_that_holds_the_total() -> None:
    long = {"runs": with_feeder(length_ft=Decimal(95)), "cord_length_ft": Decimal(75)}

    design = designed(a_circuit(), **long)

    # Feeder 10 AWG 2.945 %; cord of 10 AWG 2.325 % makes 5.27 %, of 8 AWG 1.459 % makes 4.41 %.
    assert design.cord.enough_without_drop == "10 AWG"
    assert design.cord.conductor_size == "8 AWG"
    assert design.cord.ampacity_a == 40
    assert design.cord.total_drop_percent == total(design) == Decimal("4.41")
    assert "10 AWG is enough" in finding_of(design, "CORD_RAISED_FOR_VOLTAGE_DROP").message
    assert "VOLTAGE_DROP_TOTAL" not in codes(design)


def test_a_cord_is_not_raised_while_the_total_holds() -> None:
    # 2.945 % and 66 ft of 10 AWG 2.046 %: 4.99 %; 67 ft make 5.02 %.
    just = designed(
        a_circuit(), runs=with_feeder(length_ft=Decimal(95)), cord_length_ft=Decimal(66)
    )
    over = designed(
        a_circuit(), runs=with_feeder(length_ft=Decimal(95)), cord_length_ft=Decimal(67)
    )

    assert just.cord.conductor_size == "10 AWG"
    assert just.cord.total_drop_percent == 5
    assert "VOLTAGE_DROP_TOTAL" not in codes(just)
    assert just.cord.because[-2].text == "Cord and feeder together against the advised total"
    assert dict(just.cord.because[-2].figures)["total_percent"] == "5"
    assert over.cord.conductor_size == "8 AWG"
    assert over.cord.because[-2].text.startswith("Raised from 10 AWG to 8 AWG, a stocked cord")


def test_the_cord_carries_no_more_than_its_outlet_gives() -> None:
    design = designed(a_circuit(), supply={"outlet": "L14-20"}, cord_length_ft=Decimal(50))

    # 12 AWG, 20 A on 240 V: 2 x 50 x 1.98 x 20 / 1000 / 240
    assert design.cord.conductor_size == "12 AWG"
    assert design.cord.voltage_drop_percent == Decimal("1.65")


def test_the_cord_names_the_table_of_its_resistance() -> None:
    small = designed(a_circuit()).cord
    large = designed(
        a_circuit(),
        supply={"continuous_w": Decimal(24000), "outlet": "CS6375"},
        inlet={"configuration": "CS6375"},
        transfer={"rating_a": 50},
    ).cord

    assert small.because[2].source == "nec_ch9_t8"
    # Cords up to 50 A are no larger than 6 AWG, far below where Table 9 begins.
    assert (large.conductor_size, large.because[2].source) == ("6 AWG", "nec_ch9_t8")


def test_a_cord_without_a_larger_one_in_stock_is_told() -> None:
    design = designed(
        a_circuit(),
        supply=NARROW,
        inlet={"configuration": "L5-30"},
        runs=with_feeder(length_ft=Decimal(50)),
        cord_length_ft=Decimal(75),
    )

    assert design.cord.conductor_size == design.cord.enough_without_drop == "10 AWG"
    found = finding_of(design, "VOLTAGE_DROP_TOTAL")
    assert "no larger cord of 3 wires and this length is stocked" in found.message
    assert found.source == "nec_voltage_drop_note"


def test_a_stocked_cord_that_is_too_short_is_not_taken() -> None:
    design = designed(
        a_circuit(), runs=with_feeder(length_ft=Decimal(95)), cord_length_ft=Decimal(101)
    )

    reaches = designed(
        a_circuit(), runs=with_feeder(length_ft=Decimal(95)), cord_length_ft=Decimal(100)
    )

    assert design.cord.conductor_size == "10 AWG"
    assert "VOLTAGE_DROP_TOTAL" in codes(design)
    assert reaches.cord.conductor_size == "8 AWG"


@given(st.integers(1, 200), st.integers(1, 150))
def test_a_cord_is_never_smaller_than_its_current_asks_nor_worse_for_being_raised(
    cord: int, feeder: int
) -> None:
    design = designed(
        a_circuit(),
        cord_length_ft=Decimal(cord),
        runs=with_feeder(length_ft=Decimal(feeder)),
    )

    chosen = design.cord
    assert chosen.total_drop_percent == total(design)
    assert wire_rank(chosen.conductor_size) >= wire_rank(chosen.enough_without_drop)
    assert (chosen.total_drop_percent > 5) is ("VOLTAGE_DROP_TOTAL" in codes(design))


@pytest.mark.parametrize(
    ("target", "size", "questioned"),
    [
        ("4", "6 AWG", False),
        ("2", "4 AWG", False),
        ("1.54", "3 AWG", False),
        ("1.5", "2 AWG", True),
    ],
)
def test_terminals_are_questioned_when_a_wire_is_raised_by_more_than_two_sizes(
    target: str, size: str, questioned: bool
) -> None:
    # 50 A asks 6 AWG; over 150 ft 4 AWG loses 1.925 %, 3 AWG 1.531 %, 2 AWG less, of 240 V.
    design = designed(
        a_circuit(),
        runs=with_feeder(length_ft=Decimal(150), wall_penetrations=0),
        voltage_drop_target_percent=Decimal(target),
        **LARGE,
    )

    run = design.runs[0]
    assert (run.enough_without_drop, run.conductors[0].size) == ("6 AWG", size)
    assert ("TERMINALS_MAY_NOT_TAKE_WIRE" in codes(design)) is questioned


def test_the_note_on_terminals_names_both_sizes_and_both_ends() -> None:
    design = designed(
        a_circuit(),
        runs=with_feeder(length_ft=Decimal(400), wall_penetrations=0),
        voltage_drop_target_percent=Decimal("2"),
        **LARGE,
    )

    found = finding_of(design, "TERMINALS_MAY_NOT_TAKE_WIRE")
    used = design.runs[0].conductors[0].size
    steps = list(TABLES.circular_mils).index(used) - list(TABLES.circular_mils).index("6 AWG")
    assert f"raised run 1 by {steps} sizes, from 6 AWG to {used}" in found.message
    assert "inlet and transfer" in found.message
    assert "short tail of 6 AWG" in found.remedy


def test_terminals_are_judged_by_the_largest_wire_and_only_where_there_is_one() -> None:
    design = designed(a_circuit())
    run = design.runs[0]
    mixed = tuple(replace(run.conductors[0], size=size) for size in ("12 AWG", "4 AWG", "10 AWG"))

    none = check_drop((replace(run, conductors=()),), design.cord, TABLES)
    found = check_drop((replace(run, conductors=mixed),), design.cord, TABLES)

    assert none == ()
    assert ["from 10 AWG to 4 AWG" in one.message for one in found] == [True]


def test_a_drop_of_exactly_the_target_is_within_it() -> None:
    # 100 ft of 10 AWG at 30 A lose exactly 3.1 % of 240 V.
    ohms = TABLES.ohm_per_kft["cu", "steel"]
    exact = DropLimit(Decimal(100), Decimal(30), Decimal(240), Decimal("3.1"))
    below = replace(exact, percent=Decimal("3.09"))

    assert size_within_drop("10 AWG", exact, ohms) == ("10 AWG", True)
    assert size_within_drop("10 AWG", below, ohms) == ("8 AWG", True)


@given(st.integers(1, 1500), st.sampled_from(["EMT", "PVC-40", "RMC"]))
def test_raising_a_wire_never_leaves_its_ground_behind(feet: int, method: str) -> None:
    """NFPA 70 250.122(B): in proportion to circular mils, never above the wire itself."""
    design = designed(
        a_circuit(), runs=with_feeder(length_ft=Decimal(feet), wiring_method=method, bends_deg=())
    )

    mils = TABLES.circular_mils
    run = design.runs[0]
    hot = next(c.size for c in run.conductors if c.role == "ungrounded")
    ground = next(c.size for c in run.conductors if c.role == "equipment_ground")
    raised = mils["10 AWG"] * mils[hot] / mils[run.enough_without_drop]
    assert mils[ground] >= min(raised, mils[hot])
    assert wire_rank(ground) <= wire_rank(hot)
    if run.trade_size is not None:
        inside = dict(TABLES.raceways[method])[run.trade_size]
        assert holds(bundle_of(run.conductors, TABLES), inside, run.nipple, TABLES)


@given(st.integers(1, 400), st.integers(0, 200))
def test_more_length_never_loses_less(feet: int, more: int) -> None:
    ohms = TABLES.ohm_per_kft["cu", "steel"]["10 AWG"]
    volts = Decimal(240)

    short = drop_percent(ohms, Decimal(feet), Decimal(30), volts)
    long = drop_percent(ohms, Decimal(feet + more), Decimal(30), volts)

    assert long >= short


def test_the_switch_run_is_raised_for_its_own_circuits() -> None:
    far = with_switch_run(length_ft=Decimal(60), wiring_method="EMT")

    design = designed(
        a_circuit(watts=1500, breaker_a=20), runs=far, transfer={"factory_whip": False}
    )

    run = design.runs[1]
    assert run.voltage_drop_percent <= 3
    assert run.voltage_drop_at_load_percent <= run.voltage_drop_percent
