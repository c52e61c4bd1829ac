"""Conductors of the runs: sizes, colours, counts, grounds and voltage drop."""

from decimal import Decimal

import pytest
from sizing_jobs import (
    TABLES,
    a_circuit,
    codes,
    designed,
    finding_of,
    two_pole,
    with_feeder,
    with_switch_run,
)

from estimator.sizing.ampacity import (
    Conditions,
    Demand,
    ambient_factor,
    bundling_factor,
    terminal_column,
)
from estimator.sizing.conductor_plan import conductor_for
from estimator.sizing.counting import switch_run_count
from estimator.sizing.voltage_drop import DropLimit, size_within_drop

FIELD_RUN = {"factory_whip": False}
BIG_SUPPLY = {"continuous_w": Decimal(12000), "surge_w": Decimal(20000), "outlet": "14-50"}


def summary(run):
    return [(c.role, c.size, c.colour, c.count) for c in run.conductors]


def sizes(run, role="ungrounded"):
    return [c.size for c in run.conductors if c.role == role]


def a_50_a_job(**changes):
    return {
        "supply": BIG_SUPPLY,
        "inlet": {"configuration": "14-50", **changes.pop("inlet", {})},
        "transfer": {"rating_a": 50, **changes.pop("transfer", {})},
        **changes,
    }


def test_30_a_inlet_is_wired_with_two_hots_neutral_and_ground_of_10_awg():
    feeder = designed().runs[0]

    assert summary(feeder) == [
        ("ungrounded", "10 AWG", "black", 1),
        ("ungrounded", "10 AWG", "red", 1),
        ("neutral", "10 AWG", "white", 1),
        ("equipment_ground", "10 AWG", "green", 1),
    ]
    assert (feeder.overcurrent_a, feeder.ampacity_a, feeder.current_carrying) == (30, 30, 2)
    assert {c.serves for c in feeder.conductors} == {"feeder"}


def test_120_v_inlet_is_wired_with_one_hot_and_a_counted_neutral():
    design = designed(
        a_circuit(), supply={"system": "120", "outlet": "TT-30"}, inlet={"configuration": "TT-30"}
    )

    feeder = design.runs[0]
    assert [c.colour for c in feeder.conductors] == ["black", "white", "green"]
    assert feeder.current_carrying == 2
    assert feeder.voltage_drop_one_leg_percent is None


def test_bridged_120_v_feed_counts_both_hots_and_the_neutral():
    design = designed(a_circuit(), supply={"system": "120", "outlet": "L5-30"})

    assert design.runs[0].current_carrying == 3


def test_six_circuit_switch_has_twelve_switched_conductors_neutral_and_ground():
    whip = designed().runs[1]

    colours = [(c.serves, c.colour, c.count) for c in whip.conductors if c.role == "ungrounded"]
    assert colours == [
        (f"Circuit {n}", colour, 1) for n in range(1, 7) for colour in ("red", "black")
    ]
    assert summary(whip)[-2:] == [
        ("neutral", "10 AWG", "white", 1),
        ("equipment_ground", "10 AWG", "green", 1),
    ]
    assert whip.factory_whip
    assert (whip.trade_size, whip.fill_percent, whip.fill_limit_percent) == (None, None, None)
    assert set(sizes(whip)) == {"14 AWG", "12 AWG"}


def test_two_pole_circuit_has_two_conductors_a_pole():
    whip = designed(two_pole()).runs[1]

    assert [(c.colour, c.count) for c in whip.conductors if c.role == "ungrounded"] == [
        ("red", 2),
        ("black", 2),
    ]
    assert whip.current_carrying == 4


@pytest.mark.parametrize(("length", "factory"), [("1.5", True), ("1.6", False)])
def test_whip_longer_than_supplied_is_field_wiring(length, factory):
    design = designed(runs=with_switch_run(length_ft=Decimal(length)))

    assert design.runs[1].factory_whip is factory
    assert ("WHIP_TOO_SHORT" in codes(design)) is not factory
    if not factory:
        finding = finding_of(design, "WHIP_TOO_SHORT")
        assert finding.severity == "warning"
        assert "Mount the switch within 1.5 ft" in finding.remedy
        assert design.runs[1].trade_size is not None


@pytest.mark.parametrize(
    ("length", "nipple", "limit", "expected"),
    [("2", True, 60, ["14 AWG", "12 AWG"]), ("2.01", False, 40, ["12 AWG", "10 AWG"])],
)
def test_nipple_needs_no_adjustment_for_bundling(length, nipple, limit, expected):
    design = designed(runs=with_switch_run(length_ft=Decimal(length)), transfer=FIELD_RUN)

    run = design.runs[1]
    assert run.nipple is nipple
    assert run.fill_limit_percent == limit
    assert list(dict.fromkeys(sizes(run))) == expected
    assert run.current_carrying == 12


def test_circuit_design_names_the_conductor_of_its_run():
    design = designed(runs=with_switch_run(length_ft=Decimal(6)), transfer={"factory_whip": False})

    assert [c.conductor_size for c in design.circuits] == ["12 AWG", "10 AWG"] * 3


def test_next_standard_size_up_is_only_for_a_single_load():
    runs = with_switch_run(length_ft=Decimal(6))
    many = [a_circuit(f"C{n}") for n in range(5)]

    shared = designed(a_circuit("Last"), *many, runs=runs, transfer=FIELD_RUN)
    single = designed(a_circuit("Last", single_load=True), *many, runs=runs, transfer=FIELD_RUN)

    # 25 A x 50 % is 12.5 A: below 15 A, but 15 A is the next standard rating.
    assert shared.circuits[0].conductor_size == "12 AWG"
    assert single.circuits[0].conductor_size == "14 AWG"


def test_single_load_still_fits_within_the_ampacity():
    runs = with_switch_run(length_ft=Decimal(6))
    many = [a_circuit(f"C{n}") for n in range(5)]

    design = designed(
        a_circuit("Last", watts=1510, single_load=True), *many, runs=runs, transfer=FIELD_RUN
    )

    # 1510 W is 12.6 A, over the 12.5 A that 14 AWG keeps.
    assert design.circuits[0].conductor_size == "12 AWG"


def test_feeder_never_uses_the_next_standard_size():
    # 10 AWG at 75 C terminals and 45 C ambient: 40 x 0.87 = 34.8 A, and 8 AWG 47.9 A for 50 A.
    runs = with_feeder(ambient_c=Decimal(45))
    marked = {"terminal_temp_c": 75}

    design = designed(
        a_circuit(), runs=runs, **a_50_a_job(inlet=marked, transfer={"terminal_temp_c": 75})
    )

    assert design.runs[0].enough_without_drop == "6 AWG"


@pytest.mark.parametrize(
    ("inlet_c", "transfer_c", "size"), [(75, 75, "8 AWG"), (60, 75, "6 AWG"), (75, 60, "6 AWG")]
)
def test_weaker_terminal_decides(inlet_c, transfer_c, size):
    design = designed(
        a_circuit(),
        **a_50_a_job(inlet={"terminal_temp_c": inlet_c}, transfer={"terminal_temp_c": transfer_c}),
    )

    assert sizes(design.runs[0]) == [size, size]


@pytest.mark.parametrize(
    ("overcurrent", "marked", "column"), [(100, 60, 60), (100, 75, 75), (101, 60, 75)]
)
def test_terminals_over_100_a_are_75_c(overcurrent, marked, column):
    assert terminal_column(overcurrent, marked, TABLES) == column


def test_nm_b_ends_at_its_60_c_column():
    runs = with_feeder(wiring_method="NM-B", bends_deg=())
    marked = {"terminal_temp_c": 75}

    feeder = designed(
        a_circuit(), runs=runs, **a_50_a_job(inlet=marked, transfer={"terminal_temp_c": 75})
    ).runs[0]

    assert sizes(feeder) == ["6 AWG", "6 AWG"]
    assert [c.colour for c in feeder.conductors] == ["black", "red", "white", "bare"]
    assert {c.insulation for c in feeder.conductors} == {"NM-B"}
    assert (feeder.trade_size, feeder.pull_points) == (None, 0)


def test_tw_is_taken_by_its_60_c_column():
    runs = with_feeder(insulation="TW/THW-2", ambient_c=Decimal(31))

    feeder = designed(a_circuit(), runs=runs).runs[0]

    # 30 A x 0.91 is below 30 A, where a 90 C type keeps 40 x 0.96.
    assert feeder.enough_without_drop == "8 AWG"


def test_aluminium_is_larger_and_its_ground_too():
    runs = with_feeder(conductor_material="al")

    feeder = designed(a_circuit(), runs=runs).runs[0]

    assert sizes(feeder) == ["8 AWG", "8 AWG"]
    assert sizes(feeder, "equipment_ground") == ["8 AWG"]
    assert {c.material for c in feeder.conductors} == {"al"}


@pytest.mark.parametrize(
    ("ambient", "factor"),
    [("30", "1.00"), ("30.1", "0.96"), ("35", "0.96"), ("35.5", "0.91"), ("-40", "1.15")],
)
def test_between_two_ambient_bands_the_hotter_one_counts(ambient, factor):
    assert ambient_factor(90, Decimal(ambient), TABLES) == Decimal(factor)


@pytest.mark.parametrize(
    ("counted", "factor"),
    [(3, "1"), (4, "0.8"), (6, "0.8"), (7, "0.7"), (10, "0.5"), (20, "0.5"), (21, "0.45"),
     (40, "0.4"), (41, "0.35"), (400, "0.35")],
)  # fmt: skip
def test_bundling_bands(counted, factor):
    assert bundling_factor(counted, TABLES) == Decimal(factor)


@pytest.mark.parametrize(("ambient", "found"), [(85, False), (86, True)])
def test_place_too_hot_for_any_conductor_is_an_error(ambient, found):
    design = designed(a_circuit(), runs=with_feeder(ambient_c=Decimal(ambient)))

    assert ("NO_CONDUCTOR_FITS" in codes(design)) is found
    if found:
        finding = finding_of(design, "NO_CONDUCTOR_FITS")
        assert (finding.severity, finding.where) == ("error", "/runs/0")
        assert "cooler place" in finding.remedy
        assert sizes(design.runs[0]) == ["10 AWG", "10 AWG"]
        assert design.runs[0].ampacity_a == 0


def test_common_neutral_is_counted_and_adjusted_on_one_leg():
    runs = with_switch_run(length_ft=Decimal(6))
    circuits = [a_circuit(f"C{n}") for n in range(6)]
    one_leg = {
        "supply": {"system": "120", "outlet": "L5-30"},
        "inlet": {"configuration": "L5-30"},
    }

    both = designed(*circuits, runs=runs, transfer=FIELD_RUN).runs[1]
    one = designed(*circuits, runs=runs, transfer=FIELD_RUN, **one_leg).runs[1]

    assert (both.current_carrying, sizes(both, "neutral")) == (12, ["10 AWG"])
    # 55 A x 50 % is below 30 A, 75 A x 50 % is not.
    assert (one.current_carrying, sizes(one, "neutral")) == (13, ["6 AWG"])


def test_ground_of_the_switch_run_is_for_the_largest_device():
    small = designed(a_circuit(), transfer=FIELD_RUN, runs=with_switch_run(length_ft=Decimal(6)))
    large = designed(
        two_pole(breaker_a=50, conductor_size="6 AWG"),
        **a_50_a_job(
            transfer=FIELD_RUN | {"rating_a": 50}, runs=with_switch_run(length_ft=Decimal(6))
        ),
    )

    assert sizes(small.runs[1], "equipment_ground") == ["10 AWG"]
    assert sizes(large.runs[1], "equipment_ground") == ["10 AWG"]
    assert sizes(large.runs[1]) == ["6 AWG", "6 AWG"]


@pytest.mark.parametrize(("continuous", "size"), [(False, "6 AWG"), (True, "4 AWG")])
def test_continuous_load_enlarges_the_conductor_of_a_single_load(continuous, size):
    # 6 AWG carries 55 A and 60 A is the next standard rating, but 48 A continuous ask for 60 A.
    kiln = two_pole("Kiln", 11520, breaker_a=60, conductor_size="4 AWG", continuous=continuous)

    design = designed(
        kiln,
        **a_50_a_job(
            transfer=FIELD_RUN | {"rating_a": 50}, runs=with_switch_run(length_ft=Decimal(6))
        ),
    )

    assert design.circuits[0].conductor_size == size


@pytest.mark.parametrize(
    ("length", "size", "ground"), [(96, "10 AWG", "10 AWG"), (97, "8 AWG", "8 AWG")]
)
def test_conductor_is_raised_until_the_drop_holds_and_the_ground_with_it(length, size, ground):
    feeder = designed(runs=with_feeder(length_ft=Decimal(length))).runs[0]

    # 96 ft x 2 x 1.24 x 30 / 1000 is 7.14 V of 240 V: 2.98 %; 97 ft are 3.01 %.
    assert sizes(feeder) == [size, size]
    assert sizes(feeder, "neutral") == [size]
    assert sizes(feeder, "equipment_ground") == [ground]
    assert feeder.enough_without_drop == "10 AWG"
    assert feeder.voltage_drop_percent <= 3


def test_raised_conductor_is_noted_with_both_sizes():
    finding = finding_of(
        designed(runs=with_feeder(length_ft=Decimal(100))), "RAISED_FOR_VOLTAGE_DROP"
    )

    assert finding.severity == "note"
    assert "10 AWG is enough for the current; 8 AWG keeps" in finding.message
    assert "take 8 AWG" in finding.remedy


def test_drop_at_the_load_and_on_one_leg_stand_beside_the_rating():
    feeder = designed(a_circuit(watts=1200), runs=with_feeder(length_ft=Decimal(50))).runs[0]

    # 2 x 50 x 1.24 / 1000 is 0.124 V an ampere: 30 A, 10 A of 240 V, 30 A of 120 V.
    assert feeder.voltage_drop_percent == Decimal("1.55")
    assert feeder.voltage_drop_at_load_percent == Decimal("0.52")
    assert feeder.voltage_drop_one_leg_percent == Decimal("3.10")


def test_supply_smaller_than_the_inlet_lowers_the_drop_but_not_the_conductor():
    feeder = designed(
        a_circuit(),
        runs=with_feeder(length_ft=Decimal(100)),
        supply={"continuous_w": Decimal(4800)},
    ).runs[0]

    assert sizes(feeder) == ["10 AWG", "10 AWG"]
    assert feeder.voltage_drop_percent == Decimal("2.07")


def test_two_feeder_runs_share_the_target_by_length():
    first, whip = with_feeder(length_ft=Decimal(60))
    second = with_feeder(length_ft=Decimal(40), wiring_method="PVC-40")[0]

    design = designed(runs=(first, second, whip))

    assert [sizes(run)[0] for run in design.runs[:2]] == ["8 AWG", "8 AWG"]
    assert sum(run.voltage_drop_percent for run in design.runs[:2]) <= 3


def test_target_out_of_reach_keeps_the_size_for_the_current_and_warns():
    design = designed(runs=with_feeder(length_ft=Decimal(2000)), supply={"leg_limit_w": None})
    tight = designed(
        runs=with_feeder(length_ft=Decimal(2000)), voltage_drop_target_percent=Decimal("0.5")
    )

    assert "VOLTAGE_DROP_NOT_REACHED" not in codes(design)
    finding = finding_of(tight, "VOLTAGE_DROP_NOT_REACHED")
    assert finding.severity == "warning"
    assert "Shorten the run" in finding.remedy
    assert sizes(tight.runs[0]) == ["10 AWG", "10 AWG"]


def test_long_switch_run_is_raised_too():
    runs = with_switch_run(length_ft=Decimal(60))

    design = designed(a_circuit("A", breaker_a=20), a_circuit("B"), runs=runs, transfer=FIELD_RUN)
    tight = designed(
        a_circuit("A", breaker_a=20),
        runs=runs,
        transfer=FIELD_RUN,
        voltage_drop_target_percent=Decimal("0.01"),
    )

    run = design.runs[1]
    # 12 AWG at 20 A over 60 ft loses 3.96 % of 120 V, 10 AWG 2.48 %.
    assert design.circuits[0].conductor_size == "10 AWG"
    assert run.voltage_drop_percent <= 3
    finding = [f for f in tight.findings if f.code == "VOLTAGE_DROP_NOT_REACHED"][-1]
    assert (finding.severity, finding.where) == ("warning", "/runs/1")
    assert "nearer to the load centre" in finding.remedy


def test_cord_and_feeder_together_are_held_against_five_percent():
    short = designed(runs=with_feeder(length_ft=Decimal(90)), cord_length_ft=Decimal(70))
    raised = designed(runs=with_feeder(length_ft=Decimal(90)), cord_length_ft=Decimal(72))
    long = designed(runs=with_feeder(length_ft=Decimal(90)), cord_length_ft=Decimal(101))

    # 90 ft lose 2.79 %, 70 ft of cord 2.17 %, 72 ft 2.23 %; no larger cord is stocked over 100 ft.
    assert "VOLTAGE_DROP_TOTAL" not in codes(short)
    assert raised.cord.conductor_size == "8 AWG"
    finding = finding_of(long, "VOLTAGE_DROP_TOTAL")
    assert finding.severity == "warning"
    assert "Shorten the cord" in finding.remedy


def test_size_within_drop_keeps_the_size_that_is_enough():
    ohms = TABLES.ohm_per_kft["cu", "steel"]
    short = DropLimit(Decimal(10), Decimal(30), Decimal(240), Decimal(3))
    endless = DropLimit(Decimal(100000), Decimal(30), Decimal(240), Decimal(3))

    assert size_within_drop("10 AWG", short, ohms) == ("10 AWG", True)
    assert size_within_drop("10 AWG", endless, ohms) == ("10 AWG", False)


def test_switch_run_in_cable_is_an_error_and_the_rest_is_designed():
    design = designed(runs=with_switch_run(wiring_method="NM-B"))

    finding = finding_of(design, "SWITCH_RUN_IN_CABLE")
    assert finding.severity == "error"
    assert "FMC, EMT" in finding.remedy
    assert design.runs[0].conductors
    assert design.circuits[0].conductor_size == ""


@pytest.mark.parametrize(("amps", "shown"), [(200, "3/0 AWG"), (4000, "500 kcmil")])
def test_where_no_conductor_is_enough_the_error_says_what_would_come_nearest(amps, shown):
    # 80 C is over the 75 C at which even 90 C insulation keeps 0.41 of its ampacity.
    hot = Conditions("cu", "THHN/THWN-2", Decimal(80), 40, False, 75, "2023")

    found, (error,) = conductor_for(Demand(amps), hot, "/runs/0", TABLES)

    assert (error.severity, error.code, error.where) == ("error", "NO_CONDUCTOR_FITS", "/runs/0")
    assert found.size == shown
    assert f"up to 500 kcmil carries {amps} A at 80 C with 40 current-carrying" in error.message
    assert f"{shown} is shown as for 30 C and without bundling" in error.message
    assert found.ambient_factor == found.bundling_factor == 1


@pytest.mark.parametrize(
    ("system", "switched", "counted"),
    [
        ("120/240", False, 8),
        ("120/240", True, 8 + 4),
        ("120", False, 8 + 1),
        ("120", True, 8 + 6),
    ],
)
def test_neutrals_of_a_switch_run_count_where_they_carry_the_whole_current(
    system, switched, counted
):
    # Four poles, in and out. Switched, the pair's neutral goes in and out, and so do the two of
    # the others; not switched, there is one for all.
    circuits = [
        a_circuit("A", shared_neutral_with="B"),
        *(a_circuit(name) for name in "BCD"),
    ]

    count, _ = switch_run_count(circuits, system, switched_neutral=switched)

    assert count == counted
