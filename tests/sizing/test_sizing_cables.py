"""Cables: sized by their own rules, in sizes that are made, with the ground inside them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sizing_jobs import TABLES, a_circuit, codes, designed, finding_of, with_feeder

from estimator.sizing.ampacity import (
    Conditions,
    Demand,
    ampacity_of,
    ampacity_reasons,
    offered_sizes,
    smallest_conductor,
)
from estimator.sizing.cables import cable_as_conductor, drop_sizes, ground_is_enough, made_sizes
from estimator.sizing.fill import fill_percent, holds
from estimator.sizing.grounding import equipment_ground
from estimator.units import wire_rank

CABLES = sorted(TABLES.cables)


def conditions(cable, material="cu", ambient=30, terminal=75, counted=2):
    return Conditions(material, cable, Decimal(ambient), counted, False, terminal, "2023")


def sizes(run, role="ungrounded"):
    return [c.size for c in run.conductors if c.role == role]


def a_50_a_job(**changes):
    return {
        "supply": {"continuous_w": Decimal(12000), "surge_w": Decimal(20000), "outlet": "14-50"},
        "inlet": {"configuration": "14-50", "terminal_temp_c": 75},
        "transfer": {"rating_a": 50, "terminal_temp_c": 75},
        **changes,
    }


@pytest.mark.parametrize(
    ("cable", "material", "size"),
    [
        ("NM-B", "cu", "6 AWG"),
        ("UF-B", "cu", "6 AWG"),
        ("SER", "cu", "8 AWG"),
        ("SER", "al", "6 AWG"),
        ("MC", "cu", "8 AWG"),
    ],
)
def test_50_a_with_75_c_terminals_by_each_cables_own_rule(cable, material, size):
    runs = with_feeder(wiring_method=cable, conductor_material=material, bends_deg=())

    run = designed(a_circuit(), runs=runs, **a_50_a_job()).runs[0]

    assert sizes(run) == [size, size]
    assert sizes(run, "equipment_ground") == [TABLES.cables[cable, material][size]]
    assert {c.insulation for c in run.conductors} == {cable}
    assert [c.colour for c in run.conductors] == ["black", "red", "white", "bare"]
    assert (run.trade_size, run.pull_points) == (None, 0)


@pytest.mark.parametrize(
    ("cable", "ambient", "usable"),
    [
        # NM-B starts at 90 C: 40 x 0.82 = 32.8, capped at 30; UF-B starts at 60 C: 30 x 0.58.
        ("NM-B", 48, "30"),
        ("UF-B", 48, "17.4"),
        ("MC", 48, "32.8"),
    ],
)
def test_heat_is_corrected_from_each_cables_own_column(cable, ambient, usable):
    found = ampacity_of("10 AWG", 30, conditions(cable, ambient=ambient), TABLES)

    assert found.usable_a == Decimal(usable)


@pytest.mark.parametrize(("size", "amps"), [("10 AWG", 30), ("8 AWG", 50)])
def test_ser_of_10_awg_and_smaller_ends_at_60_c(size, amps):
    found = ampacity_of(size, 30, conditions("SER"), TABLES)

    assert found.terminal_a == amps


def test_reason_names_the_column_that_decided():
    small = conditions("SER")
    for size, source in (("10 AWG", "nec_338_10_b4"), ("8 AWG", "nec_110_14_c")):
        found = ampacity_of(size, 30, small, TABLES)

        reasons = ampacity_reasons(found, Demand(30), small, TABLES)

        assert source in {reason.source for reason in reasons}
    nm_b = conditions("NM-B")
    found = ampacity_of("10 AWG", 30, nm_b, TABLES)
    assert "nec_nm_ampacity" in {
        r.source for r in ampacity_reasons(found, Demand(30), nm_b, TABLES)
    }


@given(
    st.sampled_from(CABLES),
    st.sampled_from([15, 20, 25, 30, 40, 50, 60, 80, 100]),
    st.integers(-20, 50),
    st.sampled_from([60, 75]),
)
def test_cable_is_made_in_its_size_and_its_ground_is_enough(cable, amps, ambient, terminal):
    name, material = cable
    run = with_feeder(wiring_method=name, conductor_material=material)[0]

    found = smallest_conductor(Demand(amps), conditions(name, material, ambient, terminal), TABLES)

    if found is not None:
        assert found.size in TABLES.cables[cable]
        assert ground_is_enough(run, amps, found.size, found.size, TABLES)


@given(st.sampled_from(CABLES), st.sampled_from([15, 20, 30, 50]), st.integers(1, 2000))
def test_raised_cable_never_leaves_its_ground_behind(cable, amps, feet):
    name, material = cable
    run = with_feeder(wiring_method=name, conductor_material=material, length_ft=Decimal(feet))[0]
    enough = smallest_conductor(Demand(amps), conditions(name, material), TABLES).size

    offered = drop_sizes(run, amps, enough, TABLES)

    assert enough in offered
    for size in offered:
        if wire_rank(size) >= wire_rank(enough):
            wanted = equipment_ground(amps, material, enough, size, TABLES)
            assert wire_rank(TABLES.cables[cable][size]) >= wire_rank(wanted)


def test_nm_b_is_not_raised_past_its_ground_and_says_so():
    runs = with_feeder(wiring_method="NM-B", bends_deg=(), length_ft=Decimal(100))

    design = designed(a_circuit(), runs=runs)

    warning = finding_of(design, "CABLE_GROUND_NOT_RAISED")
    assert warning.severity == "warning"
    assert "NM-B of 8 AWG would keep" in warning.message
    assert "made 10 AWG" in warning.message
    assert "conductors in a raceway" in warning.remedy
    assert sizes(design.runs[0]) == ["10 AWG", "10 AWG"]
    assert "VOLTAGE_DROP_NOT_REACHED" in codes(design)


def test_cable_with_a_full_ground_is_raised():
    # SER of 8 AWG is enough for 30 A and 6 AWG is made with a ground of 6 AWG.
    runs = with_feeder(wiring_method="SER", bends_deg=(), length_ft=Decimal(150))

    run = designed(a_circuit(), runs=runs, inlet={"terminal_temp_c": 75}).runs[0]

    # 8 AWG loses 2.92 % over 150 ft at 30 A, so it stays; over 160 ft 3.11 %.
    assert sizes(run) == ["8 AWG", "8 AWG"]
    longer = with_feeder(wiring_method="SER", bends_deg=(), length_ft=Decimal(160))
    raised = designed(a_circuit(), runs=longer).runs[0]
    assert sizes(raised) == ["6 AWG", "6 AWG"]
    assert sizes(raised, "equipment_ground") == ["6 AWG"]


@pytest.mark.parametrize(("cable", "other"), [("NM-B", "SER"), ("UF-B", "SER"), ("MC", "SER")])
def test_cable_not_made_of_aluminium_is_an_error(cable, other):
    runs = with_feeder(wiring_method=cable, conductor_material="al", bends_deg=())

    design = designed(a_circuit(), runs=runs)

    error = finding_of(design, "CABLE_NOT_MADE")
    assert (error.severity, error.where) == ("error", "/runs/0/conductor_material")
    assert f"aluminium in {other} or in a raceway" in error.remedy
    assert sizes(design.runs[0]) == ["8 AWG", "8 AWG"]


def test_made_cable_is_no_error():
    for cable, material in CABLES:
        runs = with_feeder(wiring_method=cable, conductor_material=material, bends_deg=())
        assert "CABLE_NOT_MADE" not in codes(designed(a_circuit(), runs=runs))


def test_no_cable_is_large_enough_and_parallel_is_not_offered():
    runs = with_feeder(wiring_method="UF-B", bends_deg=(), ambient_c=Decimal(50))

    error = finding_of(designed(a_circuit(), runs=runs, **a_50_a_job()), "NO_CONDUCTOR_FITS")

    # 6 AWG at 60 C: 55 x 0.58 = 31.9 A; none larger is made.
    assert error.severity == "error"
    assert "up to 6 AWG" in error.message
    assert "parallel and feeder taps are not offered" in error.message
    assert "in a raceway" in error.remedy


def test_sizes_offered_end_at_500_kcmil():
    assert offered_sizes(conditions("THHN/THWN-2"), TABLES)[-1] == "500 kcmil"
    assert offered_sizes(conditions("THHN/THWN-2", "al"), TABLES)[0] == "12 AWG"
    assert offered_sizes(conditions("UF-B"), TABLES) == (
        "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("amps", "material", "hot", "ground"),
    [
        (15, "cu", "14 AWG", "14 AWG"),
        (16, "cu", "12 AWG", "12 AWG"),
        (60, "cu", "6 AWG", "10 AWG"),
        (61, "cu", "4 AWG", "8 AWG"),
        (25, "al", "10 AWG", "10 AWG"),
        (25, "al", "8 AWG", "8 AWG"),
    ],
)
def test_ground_is_by_the_device_but_never_larger_than_the_wire(amps, material, hot, ground):
    # 25 A stands in the 60 A row, 8 AWG aluminium; 250.122(A) lets it be no larger than the hots.
    assert equipment_ground(amps, material, hot, hot, TABLES) == ground


def test_raceway_has_no_made_sizes():
    assert made_sizes(with_feeder()[0], TABLES) is None


def test_cable_counts_as_one_conductor_by_its_longer_axis():
    cable = cable_as_conductor("NM-B", "cu", "12 AWG", 2, TABLES)
    inside = dict(TABLES.raceways["EMT"])

    # 0.422 in over 0.622 in: 46.03 %, one conductor may take 53 %; two in 1/2 would be 92 %.
    assert fill_percent(((cable, 1),), inside["1/2"]).quantize(Decimal("0.01")) == Decimal("46.03")
    assert holds(((cable, 1),), inside["1/2"], False, TABLES)
    assert not holds(((cable, 2),), inside["3/4"], False, TABLES)
    # At 31 % trade size 1 holds 1.100401 x 0.31 / 0.178084 = 1.92, rounded up to two.
    assert holds(((cable, 2),), inside["1"], False, TABLES)


def test_cable_of_unknown_outside_is_not_offered():
    assert cable_as_conductor("MC", "cu", "12 AWG", 2, TABLES) is None


def test_cable_in_a_raceway_says_which_it_is_and_by_which_rule_it_counts():
    cable = cable_as_conductor("NM-B", "cu", "12 AWG", 2, TABLES)

    assert (cable.insulation, cable.size) == ("NM-B", "12 AWG")
    assert cable.source == "nec_multiconductor_fill"


def test_rows_of_cables_follow_each_other():
    for made in TABLES.cables.values():
        for size, ground in made.items():
            assert wire_rank(ground) <= wire_rank(size)
    for (cable, material, size, _), major in TABLES.cable_major_in.items():
        assert size in TABLES.cables[cable, material]
        assert major > 0
