"""Box fill, pull boxes and conduit bodies against published examples and by hand."""

import csv
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sizing_cases import FOLDER, read_cases, trade, wire
from sizing_jobs import FEEDER, TABLES, a_circuit, codes, designed, finding_of, with_feeder

from estimator.job.records import CodeEdition
from estimator.sizing.box_fill import (
    BoxContents,
    box_fill_in3,
    fits_box_fill,
    max_box_count,
    smallest_box,
)
from estimator.sizing.pull_box import (
    angle_pull_in,
    conduit_body_area_in2,
    pull_box_for,
    same_conductor_distance_in,
    straight_pull_in,
)
from estimator.sizing.records import RunConductor
from estimator.units import plain

Case = dict[str, str]
RULES = TABLES.editions["2023"]
SIZES = list(TABLES.box_allowances)
BOXES = {f"{row.dimensions_in} {row.form}": row for row in TABLES.boxes}


def sized(text: str) -> list[tuple[str, int]]:
    """ "9x12" is nine 12 AWG."""
    pairs = (pair.split("x") for pair in text.split("+"))
    return [(wire(size), int(count)) for count, size in pairs]


def contents(case: Case) -> BoxContents:
    devices = case.get("devices", "0")
    gangs = 1
    if ":gangs=" in devices:
        devices, _, width = devices.partition(":gangs=")
        gangs = int(width)
    egc = case.get("egc", "0")
    return BoxContents(
        conductors=sized(case["conductors"]),
        clamps=case.get("clamps", "0") != "0",
        devices=[(size, gangs) for size, count in sized(devices) for _ in range(count)]
        if devices != "0"
        else (),
        grounds=sized(egc) if egc != "0" else (),
    )


def filled(case: Case) -> Decimal:
    return box_fill_in3(contents(case), RULES, TABLES)


def box_of(name: str) -> str:
    # The published rows name round and octagon boxes alike.
    return name.replace(" round", " octagon")


def count_in(case: Case) -> int:
    return max_box_count(BOXES[box_of(case["box"])].volume_in3, wire(case["size"]), TABLES)


def least_box(case: Case) -> str:
    row = smallest_box(filled(case), TABLES)
    assert row is not None
    return f"{row.dimensions_in} {row.form}"


def same_conductor(case: Case) -> Decimal:
    return same_conductor_distance_in(case["largest_raceway_in"], TABLES)


COMPUTE: dict[str, Callable[[Case], object]] = {
    "box_fill": filled,
    "box_max_count": count_in,
    "box_min_standard": least_box,
    "pullbox_same_conductor_distance": same_conductor,
}


def read_box_cases() -> list[Case]:
    """As read_cases; ":gangs=2" stays with its device."""
    with (FOLDER / "box_examples.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        for pair in row["inputs"].split(";"):
            key, _, value = pair.partition("=")
            row[key] = value
    return rows


@pytest.mark.parametrize("case", read_box_cases(), ids=trade)
def test_boxes_agree_with_published_examples(case: Case) -> None:
    computed = COMPUTE[case["topic"]](case)

    if case["topic"] == "box_min_standard":
        assert computed == case["expected_value"]
    else:
        assert Decimal(str(computed)) == Decimal(case["expected_value"])


@pytest.mark.parametrize(
    "case",
    read_cases("box_counts.csv"),
    ids=lambda case: f"{case['box']}, {case['size']} AWG ({case['source']})",
)
def test_counts_of_the_table_of_boxes_follow_from_volume_and_allowance(case: Case) -> None:
    form, _, dimensions = case["box"].partition(" ")
    row = next(b for b in TABLES.boxes if (b.form, b.dimensions_in) == (form, dimensions))

    assert max_box_count(row.volume_in3, wire(case["size"]), TABLES) == int(case["expected"])


@pytest.mark.parametrize(
    ("grounds", "allowances"),
    [(0, "0"), (1, "1"), (4, "1"), (5, "1.25"), (6, "1.5"), (8, "2")],
)
def test_up_to_four_grounds_count_once_and_each_further_one_a_quarter(
    grounds: int, allowances: str
) -> None:
    volume = box_fill_in3(BoxContents(grounds=(("12 AWG", grounds),)), RULES, TABLES)

    assert volume == Decimal("2.25") * Decimal(allowances)


def test_grounds_count_by_the_largest_of_them_and_clamps_by_the_largest_conductor() -> None:
    mixed = BoxContents(
        conductors=(("14 AWG", 2), ("10 AWG", 2)),
        clamps=True,
        grounds=(("14 AWG", 1), ("10 AWG", 1)),
    )

    # 2 x 2.0 + 2 x 2.5 + 2.5 for the clamps + 2.5 for the grounds
    assert box_fill_in3(mixed, RULES, TABLES) == Decimal("14.0")


@pytest.mark.parametrize(("edition", "volume"), [("2020", "4.50"), ("2023", "9.25")])
def test_a_terminal_block_takes_room_from_the_2023_edition_on(
    edition: CodeEdition, volume: str
) -> None:
    # Two 12 AWG: 4.50; blocks with up to 10 and 12 AWG on them: 2.50 and 2.25 more.
    held = BoxContents(conductors=(("12 AWG", 2),), terminal_blocks=("10 AWG", "12 AWG"))

    assert box_fill_in3(held, TABLES.editions[edition], TABLES) == Decimal(volume)


@pytest.mark.parametrize(
    ("volume", "box"),
    [
        ("12.5", "octagon 4 x 1-1/4"),
        ("12.6", "octagon 4 x 1-1/2"),
        ("18", "square 4 x 1-1/4"),
        ("21.01", "octagon 4 x 2-1/8"),
        ("30.3", "square 4 x 2-1/8"),
        ("42", "square 4-11/16 x 2-1/8"),
        ("42.1", None),
    ],
)
def test_the_smallest_standard_junction_box_is_chosen(volume: str, box: str | None) -> None:
    row = smallest_box(Decimal(volume), TABLES)

    assert (row and f"{row.form} {row.dimensions_in}") == box


def test_device_boxes_are_chosen_only_where_asked() -> None:
    row = smallest_box(Decimal("7.5"), TABLES, ("device",))

    assert row is not None
    assert row.dimensions_in == "3 x 2 x 1-1/2"


@given(
    st.lists(st.tuples(st.sampled_from(SIZES), st.integers(1, 20)), min_size=1, max_size=4),
    st.sampled_from(SIZES),
)
def test_one_more_conductor_never_takes_less_room_or_a_smaller_box(
    held: list[tuple[str, int]], size: str
) -> None:
    before = box_fill_in3(BoxContents(conductors=held), RULES, TABLES)

    after = box_fill_in3(BoxContents(conductors=[*held, (size, 1)]), RULES, TABLES)

    assert after == before + TABLES.box_allowances[size]
    smaller, larger = smallest_box(before, TABLES), smallest_box(after, TABLES)
    if larger is not None:
        assert smaller is not None
        assert smaller.volume_in3 <= larger.volume_in3
        assert larger.volume_in3 >= after


def test_wires_above_6_awg_are_not_counted_by_volume() -> None:
    assert fits_box_fill(["14 AWG", "6 AWG"], TABLES)
    assert not fits_box_fill(["14 AWG", "4 AWG"], TABLES)


@pytest.mark.parametrize(("trade_size", "inches"), [("1", "8"), ("1-1/4", "10"), ("2", "16")])
def test_a_straight_pull_box_is_eight_raceways_long(trade_size: str, inches: str) -> None:
    assert straight_pull_in(trade_size, TABLES) == Decimal(inches)


def test_an_angle_pull_is_six_raceways_and_the_others_in_the_row() -> None:
    assert angle_pull_in("2", (), TABLES) == 12
    assert angle_pull_in("2", ("1-1/4",), TABLES) == Decimal("13.25")
    assert angle_pull_in("3", ("2", "2"), TABLES) == 22


def test_a_conduit_body_has_twice_the_cross_section_of_its_raceway() -> None:
    # 1/2 EMT: 0.622 in inside, 0.30386 in2.
    area = conduit_body_area_in2(Decimal("0.622"), TABLES)

    assert abs(area - Decimal("0.60771")) < Decimal("0.00001")


def a_conductor(size: str, role: str = "ungrounded", count: int = 1) -> RunConductor:
    return RunConductor(role, size, "cu", "THHN/THWN-2", "black", count, Decimal(18), "feeder")


def test_only_runs_with_pull_points_or_wall_turns_ask_for_a_box() -> None:
    run = with_feeder(wall_penetrations=0)[0]

    assert pull_box_for(run, (a_conductor("10 AWG"),), "3/4", 0, RULES, TABLES) is None
    assert pull_box_for(run, (a_conductor("10 AWG"),), None, 1, RULES, TABLES) is None
    assert pull_box_for(run, (), "3/4", 1, RULES, TABLES) is None
    assert pull_box_for(run, (a_conductor("10 AWG"),), "3/4", 1, RULES, TABLES) is not None


@pytest.mark.parametrize(
    ("size", "straight", "volume"), [("6 AWG", None, "17.5"), ("4 AWG", "10", None)]
)
def test_boxes_go_by_volume_up_to_6_awg_and_by_length_from_4_awg(
    size: str, straight: str | None, volume: str | None
) -> None:
    conductors = (
        a_conductor(size, count=2),
        a_conductor(size, "neutral"),
        a_conductor("10 AWG", "equipment_ground"),
    )

    box = pull_box_for(FEEDER, conductors, "1-1/4", 1, RULES, TABLES)

    assert box is not None
    assert box.straight_in == (straight and Decimal(straight))
    # 3 x 5.0 and 2.5 for the ground
    assert box.volume_in3 == (volume and Decimal(volume))
    assert [reason.source for reason in box.because] == (
        ["nec_box_fill_counts", "nec_conduit_body_splices"]
        if volume
        else ["nec_pull_box_straight", "nec_pull_box_angle"]
    )
    if volume:
        assert dict(box.because[0].figures)["conductors"] == "3"


def test_a_design_with_bends_past_360_degrees_sizes_its_pull_point() -> None:
    bends = (Decimal(90),) * 5

    small = designed(a_circuit(), runs=with_feeder(bends_deg=bends)).runs[0]
    large = designed(
        a_circuit(),
        supply={"continuous_w": Decimal(12000), "outlet": "14-50"},
        inlet={"configuration": "14-50"},
        transfer={"rating_a": 50},
        runs=with_feeder(bends_deg=bends, length_ft=Decimal(200)),
    ).runs[0]

    assert small.pull_box is not None
    assert small.pull_box.volume_in3 == Decimal("10.00")  # 3 x 2.5 and 2.5 for the ground
    assert large.pull_box is not None
    assert large.pull_box.straight_in == straight_pull_in(large.trade_size, TABLES)


def test_large_wires_that_turn_into_a_wall_ask_for_a_marked_body_or_a_box() -> None:
    large = {
        "supply": {"continuous_w": Decimal(12000), "outlet": "14-50"},
        "inlet": {"configuration": "14-50"},
        "transfer": {"rating_a": 50},
    }

    design = designed(a_circuit(), runs=with_feeder(length_ft=Decimal(200)), **large)
    straight = designed(
        a_circuit(), runs=with_feeder(length_ft=Decimal(200), wall_penetrations=0), **large
    )

    found = finding_of(design, "CONDUIT_BODY_FOR_LARGE_WIRE")
    assert found.source == "nec_pull_body_marked"
    assert found.message.startswith("Run 1 turns into a wall")
    inches = plain(angle_pull_in(design.runs[0].trade_size, (), TABLES))
    assert f"{inches} in are asked" in found.message
    assert f"{inches} x {inches} in inside" in found.remedy
    assert "box of at least" in found.remedy
    assert "CONDUIT_BODY_FOR_LARGE_WIRE" not in codes(straight)
    assert "CONDUIT_BODY_FOR_LARGE_WIRE" not in codes(designed())
