"""Hours: units, factors, crew, travel and the minimum call-out."""

from decimal import Decimal

import pytest
from takeoff_factory import (
    codes,
    hours_of,
    make_circuits,
    make_design,
    make_job,
    make_run,
    make_switch_run,
    make_whip,
    on_surface,
    taken,
)

from estimator.takeoff.labour_units import load_labour_units, read_labour_units
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off

HEADER = "code,task,unit,low_h,typical_h,high_h\n"
NOTHING = "".join(
    f"{unit.code},{unit.task},{unit.unit},0,0,0\n" for unit in load_labour_units().values()
)


def test_hours_are_quantity_times_unit_hours_in_three_values() -> None:
    result = taken(make_job(), make_run("37", wall_penetrations=0))

    (task,) = [task for task in result.labour if task.code == "emt_small"]
    assert (task.quantity, task.unit) == (Decimal("3.70"), "10 ft")
    # 3.7 times 0.35, 0.5 and 0.8, half up to 0.01
    assert (task.hours_low, task.hours, task.hours_high) == (
        Decimal("1.30"), Decimal("1.85"), Decimal("2.96"),
    )  # fmt: skip


@pytest.mark.parametrize(("circuits", "hours"), [(1, "0.30"), (6, "1.80"), (10, "3.00")])
def test_circuits_are_moved_one_by_one(circuits: int, hours: str) -> None:
    result = taken(make_job(circuits=make_circuits(circuits)))

    assert hours_of(result, "move_circuit_120") == Decimal(hours)


def test_a_named_factor_raises_the_tasks_of_its_groups_only() -> None:
    plain = taken(make_job())
    crowded = taken(make_job(labour_factors=("crowded_panel",)))

    assert hours_of(crowded, "move_circuit_120") == Decimal("2.34")  # 1.80 x 1.3
    assert hours_of(crowded, "emt_small") == hours_of(plain, "emt_small")
    (task,) = [task for task in crowded.labour if task.code == "move_circuit_120"]
    assert any("crowded_panel" in reason.text for reason in task.because)


def test_factors_multiply_and_count_once_each() -> None:
    result = taken(make_job(labour_factors=("ladder", "occupied_house", "ladder")))

    assert hours_of(result, "emt_small") == Decimal("1.19")  # 0.90 x 1.2 x 1.1


@pytest.mark.parametrize("name", ["moonlight", "masonry", "first_time"])
def test_a_factor_that_is_not_for_the_user_is_left_out_and_the_known_ones_listed(
    name: str,
) -> None:
    result = taken(make_job(labour_factors=("ladder", name)))

    (warning,) = [one for one in result.findings if one.code == "LABOUR_FACTOR_NOT_USED"]
    assert warning.severity == "warning"
    assert warning.where == "/labour/factors/1"
    assert name in warning.message
    assert "occupied_house" in warning.remedy
    assert "masonry" not in warning.remedy


def test_the_owner_takes_longer_and_neither_travels_nor_is_called_out() -> None:
    trade, own = taken(make_job()), taken(make_job(labour_skill="own"))

    (moved,) = [task for task in own.labour if task.code == "move_circuit_120"]
    # six circuits: 1.2, 1.8, 3.0 times 1.8, 2.5, 4
    assert (moved.hours_low, moved.hours, moved.hours_high) == (
        Decimal("2.16"), Decimal("4.50"), Decimal("12.00"),
    )  # fmt: skip
    done = {task.code for task in own.labour}
    assert not done & {"travel", "minimum_call_out", "site_survey", "instruct_customer"}
    assert {"permit", "inspection", "commission"} <= done
    assert hours_of(own, "inspection") == hours_of(trade, "inspection")


@pytest.mark.parametrize(
    ("crew", "told", "hours"),
    [(1, None, "1.50"), (2, None, "2.25"), (1, "1", "1.00"), (2, "1", "2.00"), (1, "0", "0")],
)
def test_travel_is_as_told_or_from_the_table_for_each_of_the_crew(
    crew: int, told: str | None, hours: str
) -> None:
    travel = None if told is None else Decimal(told)

    result = taken(make_job(labour_crew=crew, labour_travel_hours=travel))

    assert hours_of(result, "travel") == Decimal(hours)


@pytest.mark.parametrize(
    ("minimum", "crew", "top_up"), [("18", 1, "0.72"), ("17.28", 1, "0"), ("9.1", 2, "0.17")]
)
def test_a_small_job_is_topped_up_to_the_minimum_call_out(
    minimum: str, crew: int, top_up: str
) -> None:
    """17.28 hours of work, or 18.03 with a second person on the way."""
    job = make_job(labour_minimum_hours=Decimal(minimum), labour_crew=crew)

    result = taken(job)

    assert hours_of(result, "minimum_call_out") == Decimal(top_up)


def test_contractor_units_replace_ours_and_name_their_source() -> None:
    text = HEADER + "emt_small,EMT our way,10 ft,0.2,0.3,0.4\n"
    job = make_job()
    tables = load_take_off_tables().with_labour(read_labour_units(text, "ours.csv"))

    result = take_off(job, make_design(job), tables)

    (task,) = [task for task in result.labour if task.code == "emt_small"]
    assert task.task == "EMT our way"
    assert task.hours == Decimal("0.54")
    assert "contractor_labour_table" in {reason.source for reason in task.because}
    assert hours_of(result, "commission") == Decimal("0.80")


def test_tasks_without_hours_are_dropped() -> None:
    job = make_job(labour_travel_hours=Decimal(0), labour_minimum_hours=Decimal(2))
    tables = load_take_off_tables().with_labour(read_labour_units(HEADER + NOTHING, "none.csv"))

    result = take_off(job, make_design(job), tables)

    assert [task.code for task in result.labour] == ["minimum_call_out"]
    assert result.hours == 2


def test_the_total_is_the_sum_of_the_printed_tasks() -> None:
    result = on_surface("brick")

    assert result.hours == sum(task.hours for task in result.labour)
    for task in result.labour:
        assert task.hours_low <= task.hours <= task.hours_high
        assert -task.hours.as_tuple().exponent <= 2


def test_large_wire_and_many_wires_take_longer_to_pull() -> None:
    job = make_job(transfer_factory_whip=False)
    alone = taken(job, make_run("20", wall_penetrations=0))
    large = taken(job, make_run("20", wall_penetrations=0, conductors=make_run().conductors * 2))

    assert hours_of(large, "pull_small") == 2 * hours_of(alone, "pull_small")


def test_wires_are_landed_at_both_ends_but_in_the_load_centre_with_their_circuits() -> None:
    job = make_job(transfer_factory_whip=False)
    feeder = taken(job, make_run())
    whole = taken(job, make_run(), make_switch_run(job.circuits))

    ends = [
        task.quantity
        for result in (feeder, whole)
        for task in result.labour
        if task.code == "terminate_small"
    ]
    assert ends == [2, Decimal("5.50")]  # 14 wires at the switch count as three and a half ends


def test_a_clean_job_has_no_findings_but_the_note_on_drains() -> None:
    job = make_job()

    result = taken(job, make_run(), make_whip(job.circuits))

    assert codes(result) == {"RACEWAY_DRAIN"}
