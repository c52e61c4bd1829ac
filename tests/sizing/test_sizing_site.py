"""Splices in the load centre and the space about the equipment."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_jobs import (
    TABLES,
    a_circuit,
    a_job,
    codes,
    designed,
    finding_of,
    two_pole,
)

from estimator.sizing.records import RunConductor
from estimator.sizing.splice_space import SpliceSpace, splice_space, spliced_wires
from estimator.sizing.working_space import working_measure
from estimator.units import circle_area_in2

THHN = TABLES.dimensions["THHN/THWN-2"]


def c05(gutter: str = "4", **changes: object) -> SpliceSpace:
    """Six 20 A circuits on a factory whip, each with 12 AWG in the wall."""
    circuits = tuple(a_circuit(f"Circuit {n}", 100, breaker_a=20) for n in range(1, 7))
    centre = {"load_centre": {"gutter_in": Decimal(gutter)}}
    design = designed(*circuits, **centre, **changes)
    return splice_space(a_job(*circuits, **centre, **changes), design.runs[1], TABLES)


def test_c05_six_circuits_fill_little_of_a_gutter_of_4_in() -> None:
    """NFPA 70 312.8(A): 6.4 in2 for conductors, 12 in2 with splices."""
    space = c05()

    # 12 hots and 6 house wires of 12 AWG, neutral and ground of 10 AWG.
    assert space.space_in2 == 16
    assert space.conductors_in2 == 18 * THHN["12 AWG"].area_in2 + 2 * THHN["10 AWG"].area_in2
    assert space.splices == 6
    assert abs(space.splices_in2 - 6 * circle_area_in2(Decimal("0.55"))) < Decimal("0.001")
    assert not space.over_conductor_limit
    assert not space.over_splice_limit


@pytest.mark.parametrize(
    ("gutter", "conductors", "splices"),
    [("1.56", False, False), ("1.50", False, True), ("0.84", False, True), ("0.83", True, True)],
)
def test_the_gutter_holds_40_percent_of_conductors_and_75_with_splices(
    gutter: str, conductors: bool, splices: bool
) -> None:
    # Conductors 0.2816 in2: 0.839 in square at 40 %. With splices 1.7071 in2: 1.509 in at 75 %.
    space = c05(gutter)

    assert space.over_conductor_limit is conductors
    assert space.over_splice_limit is splices


def test_a_crowded_load_centre_names_what_is_over_and_the_box_that_holds_it() -> None:
    circuits = [a_circuit(f"Circuit {n}", 100, breaker_a=20) for n in range(1, 7)]

    found = finding_of(
        designed(*circuits, load_centre={"gutter_in": Decimal("0.8")}), "LOAD_CENTRE_CROWDED"
    )

    assert "conductors 0.28 in2, over 40 %" in found.message
    assert "with 6 splices side by side 1.71 in2, over 75 %" in found.message
    assert "practice and no rule" in found.message
    # 12 hots and 6 x 3 house wires of 12 AWG at 2.25; neutral 2.5; 7 grounds: 2.5 x 1.75.
    assert "junction box beside the load centre of at least 74.375 in3" in found.remedy
    assert found.source == "nec_panel_splices"


def test_two_poles_and_a_switched_neutral_make_more_splices() -> None:
    plain, switched = a_job(), a_job(transfer={"switched_neutral": True})

    assert spliced_wires(plain, a_circuit()) == 1
    assert spliced_wires(plain, two_pole()) == 2
    assert spliced_wires(switched, two_pole()) == 3


@pytest.mark.parametrize(
    ("method", "one", "two"), [("interlock", 0, 0), ("subpanel", 3, 4), ("manual_switch", 1, 2)]
)
def test_splices_depend_on_the_kind_of_transfer(method: str, one: int, two: int) -> None:
    job = a_job(transfer={"method": method})

    assert spliced_wires(job, a_circuit()) == one
    assert spliced_wires(job, two_pole()) == two


def test_a_two_pole_circuit_brings_two_of_everything() -> None:
    one = designed(a_circuit("Pump", 100, breaker_a=20))
    two = designed(two_pole("Pump", 100))

    single = splice_space(a_job(a_circuit("Pump", 100, breaker_a=20)), one.runs[1], TABLES)
    double = splice_space(a_job(two_pole("Pump", 100)), two.runs[1], TABLES)

    # Two hots and a house wire a pole.
    assert double.conductors_in2 - single.conductors_in2 == 3 * THHN["12 AWG"].area_in2
    assert double.splices_in2 == 2 * single.splices_in2


def test_a_circuit_that_is_not_in_the_run_is_not_spliced_there() -> None:
    design = designed(a_circuit("Pump"))

    space = splice_space(a_job(a_circuit("Pump"), a_circuit("Other")), design.runs[1], TABLES)

    assert space.splices == 1


def test_a_gutter_filled_to_exactly_40_percent_holds() -> None:
    # 1330 x 0.0133 in2 are 40 % of 6.65 in squared.
    wires = RunConductor(
        "ungrounded", "12 AWG", "cu", "THHN/THWN-2", "black", 1330, Decimal(1), "others"
    )
    run = replace(designed().runs[1], conductors=(wires,))

    exact = splice_space(a_job(load_centre={"gutter_in": Decimal("6.65")}), run, TABLES)
    over = splice_space(a_job(load_centre={"gutter_in": Decimal("6.64")}), run, TABLES)

    assert not exact.over_conductor_limit
    assert over.over_conductor_limit


def test_a_house_wire_of_unknown_size_counts_as_the_wire_it_meets() -> None:
    known = c05()
    circuits = tuple(
        a_circuit(f"Circuit {n}", 100, breaker_a=20, conductor_size="11 AWG") for n in range(1, 7)
    )
    design = designed(*circuits)

    space = splice_space(a_job(*circuits), design.runs[1], TABLES)

    assert space.conductors_in2 == known.conductors_in2


@pytest.mark.parametrize(
    ("item", "volts", "inches"),
    [
        ("depth_condition_1", 120, 36),
        ("depth_condition_2", 150, 36),
        ("depth_condition_2", 151, 42),
        ("depth_condition_3", 277, 48),
        ("width", 120, 30),
        ("height", 120, 78),
    ],
)
def test_working_space_follows_the_voltage_to_ground(item: str, volts: int, inches: int) -> None:
    """NFPA 70 Table 110.26(A)(1)."""
    assert working_measure(item, Decimal(volts), TABLES) == inches


def test_working_space_has_no_figure_beyond_its_table() -> None:
    with pytest.raises(LookupError):
        working_measure("width", Decimal(601), TABLES)
    with pytest.raises(LookupError):
        working_measure("length", Decimal(120), TABLES)


@pytest.mark.parametrize(("main", "told"), [(200, True), (225, False)])
def test_less_height_is_mentioned_for_an_existing_panel_of_up_to_200_a(
    main: int, told: bool
) -> None:
    design = designed(load_centre={"main_a": main, "bus_a": main})

    message = finding_of(design, "WORKING_SPACE").message
    assert ("may have less height" in message) is told
    assert message.endswith("may have less height." if told else "electrical equipment only.")


def test_places_where_breakers_may_not_be_are_told() -> None:
    found = finding_of(designed(), "EQUIPMENT_PLACE")

    assert found.severity == "note"
    assert "bathroom" in found.message
    assert "clothes closet" in found.message
    assert "steps" in found.message
    assert "79 in" in found.remedy
    assert found.source == "nec_breaker_place"


def test_no_splices_are_noted_where_none_are_made() -> None:
    assert "SPLICES_IN_LOAD_CENTRE" in codes(designed())
    assert "SPLICES_IN_LOAD_CENTRE" not in codes(designed(transfer={"method": "interlock"}))
