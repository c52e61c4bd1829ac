"""Switch, inlet, cord and signs."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from takeoff_factory import codes, count, make_design, make_job, make_run, parts_of, taken


@pytest.mark.parametrize(
    ("wanted", "stocked"), [("10", "25"), ("25", "25"), ("26", "50"), ("75", "75")]
)
def test_the_cord_is_the_shortest_stocked_that_reaches(wanted: str, stocked: str) -> None:
    result = taken(make_job(cord_length_ft=Decimal(wanted)))

    assert count(result, "cord_set", cord="10/4", length_ft=stocked) == 1
    assert "CORD_MADE_TO_LENGTH" not in codes(result)


def test_a_cord_longer_than_any_stocked_is_made_up_and_told() -> None:
    result = taken(make_job(cord_length_ft=Decimal(80)))

    assert count(result, "cord_set", length_ft="80") == 1
    (warning,) = [one for one in result.findings if one.code == "CORD_MADE_TO_LENGTH"]
    assert warning.severity == "warning"
    assert "80 ft" in warning.message


def test_a_50_a_cord_has_a_smaller_ground() -> None:
    job = make_job()
    cord = replace(make_design(job).cord, conductor_size="6 AWG")

    result = taken(job, cord=cord)

    assert count(result, "cord_set", cord="6/3+8/1") == 1


@pytest.mark.parametrize(
    ("place", "exposure", "enclosure"),
    [("outdoor", "wet", "3R"), ("outdoor", "dry", "3R"), ("indoor", "damp", "3R"),
     ("indoor", "dry", "1")],
)  # fmt: skip
def test_the_inlet_box_suits_its_place(place: Any, exposure: Any, enclosure: str) -> None:
    """NFPA 70 406.9(B)(2), 110.28."""
    result = taken(make_job(inlet_place=place, inlet_exposure=exposure))

    assert count(result, "power_inlet_box", enclosure=enclosure) == 1


def test_signs_stand_at_service_and_inlet_and_both_directories_are_renewed() -> None:
    """NFPA 70 702.7(A), 702.7(C), 408.4(A)."""
    result = taken()

    assert count(result, "sign", sign="standby source sign") == 1
    assert count(result, "sign", sign="inlet source-type sign") == 1
    assert count(result, "sign", sign="circuit directory") == 2
    assert count(result, "sign", sign="operating instruction card") == 1
    sources = {reason.source for part in parts_of(result, "sign") for reason in part.because}
    assert {"nec_signs_service", "nec_signs_inlet", "nec_circuit_directory"} <= sources


def test_a_switched_neutral_is_another_switch() -> None:
    plain = taken(make_job())
    switched = taken(make_job(transfer_switched_neutral=True))

    assert count(plain, "transfer_switch", neutral="unswitched") == 1
    assert count(switched, "transfer_switch", neutral="switched") == 1


def test_sealant_is_for_the_outer_wall_only() -> None:
    outside = taken(make_job())
    inside = taken(
        make_job(inlet_place="indoor", inlet_exposure="dry"),
        make_run(wall_penetrations=0, place="indoor", exposure="dry"),
    )

    assert count(outside, "consumable", consumable="exterior sealant") == 1
    assert count(inside, "consumable", consumable="exterior sealant") == 0


def test_an_outdoor_raceway_is_told_to_drain() -> None:
    """NFPA 70 314.15."""
    outside = taken(make_job(), make_run())
    inside = taken(make_job(), make_run(place="indoor", exposure="dry"))

    assert "RACEWAY_DRAIN" in codes(outside)
    assert "RACEWAY_DRAIN" not in codes(inside)
