"""Splices, ties and circuits in the load centre."""

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import (
    count,
    hours_of,
    make_circuit,
    make_circuits,
    make_design,
    make_job,
    taken,
)


@given(st.lists(st.sampled_from([1, 2]), min_size=1, max_size=12))
def test_each_pole_is_one_splice_and_a_tenth_is_spare(poles: list[int]) -> None:
    circuits = tuple(
        make_circuit(f"Circuit {place}", poles=number) for place, number in enumerate(poles)
    )

    result = taken(make_job(circuits=circuits))

    splices = sum(poles)
    assert count(result, "twist_on_connector") == splices + math.ceil(splices / 10)


def test_six_circuits_take_six_connectors_and_one_spare() -> None:
    """Common practice: a switch with a whip joins each circuit's hot to the load lead."""
    result = taken(make_job(circuits=make_circuits(6)))

    assert count(result, "twist_on_connector", conductors="2 x 12 AWG") == 7


def test_a_switched_neutral_splices_each_neutral_too() -> None:
    result = taken(make_job(transfer_switched_neutral=True))

    assert count(result, "twist_on_connector") == 12 + 2


def test_the_larger_of_branch_wire_and_load_lead_chooses_the_connector() -> None:
    circuits = (
        make_circuit("A", conductor_size="14 AWG"),
        make_circuit("B", conductor_size="10 AWG"),
    )

    result = taken(make_job(circuits=circuits))

    assert count(result, "twist_on_connector", conductors="2 x 12 AWG") == 2
    assert count(result, "twist_on_connector", conductors="2 x 10 AWG") == 2


@pytest.mark.parametrize(
    ("size", "material", "twisted", "screwed"),
    [("6 AWG", "cu", 2, 0), ("4 AWG", "cu", 0, 1), ("12 AWG", "al", 0, 1)],
)
def test_large_wire_and_aluminium_are_joined_by_set_screws(
    size: str, material: Any, twisted: int, screwed: int
) -> None:
    """NFPA 70 110.14(B)."""
    circuit = make_circuit("Range", conductor_size=size, conductor_material=material)

    result = taken(make_job(circuits=(circuit,)))

    assert count(result, "twist_on_connector") == twisted
    assert count(result, "splicing_connector", ports="2") == screwed


def test_a_pair_with_one_neutral_is_tied_in_both_places_and_grouped_once() -> None:
    """NFPA 70 210.4(B), 210.4(D), 240.15(B)."""
    circuits = (
        make_circuit("A", shared_neutral_with="B"),
        make_circuit("B", shared_neutral_with="A"),
        make_circuit("C"),
    )

    result = taken(make_job(circuits=circuits))

    assert count(result, "handle_tie", poles="2") == 2
    assert count(result, "consumable", consumable="cable tie for grouped conductors") == 1
    tasks = {task.code: task.quantity for task in result.labour}
    assert (tasks["move_circuit_240"], tasks["move_circuit_120"]) == (2, 1)


def test_no_filler_is_needed_as_no_breaker_leaves_the_load_centre() -> None:
    assert count(taken(), "breaker_filler") == 0


def test_a_circuit_without_a_place_on_the_switch_is_left_out() -> None:
    job = make_job(circuits=make_circuits(2))
    design = make_design(job)
    left = (design.circuits[0], replace(design.circuits[1], position=""))

    result = taken(job, circuits=left)

    assert count(result, "twist_on_connector") == 2
    assert [task.quantity for task in result.labour if task.code == "test_circuit"] == [1]


def test_protected_breakers_take_more_work() -> None:
    plain = taken(make_job(circuits=(make_circuit("A"),)))
    guarded = taken(make_job(circuits=(make_circuit("A", protection="dual"),)))

    assert hours_of(plain, "protected_breaker") == 0
    assert hours_of(guarded, "protected_breaker") > 0
