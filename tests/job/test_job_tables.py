"""The tables of the room: configurations, breakers, regions, fields not built yet."""

from datetime import date
from pathlib import Path

import pytest
from job_documents import four_facts

from estimator.job.breakers import load_branch_breakers
from estimator.job.configurations import (
    all_configurations,
    inlet_configurations,
    load_configurations,
)
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.regions import region_codes

TODAY = date(2026, 3, 2)
SAMPLES = sorted(
    path
    for path in (Path(__file__).parents[2] / "catalog_samples" / "jobs").iterdir()
    if path.suffix in (".json", ".yaml")
)


class TestConfigurations:
    def test_the_inlets_that_a_job_may_name(self) -> None:
        assert set(inlet_configurations()) == {
            "L5-20", "L5-30", "TT-30", "L14-20", "L14-30", "14-30", "14-50", "SS2-50", "CS6375",
        }  # fmt: skip

    def test_every_inlet_has_neutral_and_ground(self) -> None:
        for key in inlet_configurations():
            row = load_configurations()[key]
            assert row.has_neutral
            assert row.has_equipment_ground
            assert row.refused_because is None

    def test_every_other_one_says_why_it_is_none(self) -> None:
        for row in load_configurations().values():
            assert row.accepted_as_inlet == (row.refused_because is None)

    def test_wires_count_poles_and_ground(self) -> None:
        for row in load_configurations().values():
            assert row.wires == row.poles + row.has_equipment_ground

    def test_both_legs_and_neutral_make_three_poles(self) -> None:
        for row in load_configurations().values():
            if row.system == "120/240":
                assert row.poles == 3

    def test_an_l14_30_is_thirty_amps_locking_on_both_legs(self) -> None:
        row = load_configurations()["L14-30"]

        assert (row.system, row.amps, row.wires, row.locking) == ("120/240", 30, 4, True)
        assert (row.plug, row.connector) == ("L14-30P", "L14-30R")

    @pytest.mark.parametrize("key", ["5-15", "5-20", "6-20", "6-50", "10-30", "L6-30"])
    def test_others_are_known_as_outlets(self, key: str) -> None:
        assert key in all_configurations()
        assert key not in inlet_configurations()

    def test_a_table_is_read_once(self) -> None:
        assert load_configurations() is load_configurations()


def test_breakers_are_the_standard_ratings_from_15_to_60() -> None:
    assert tuple(load_branch_breakers()) == (15, 20, 25, 30, 35, 40, 45, 50, 60)


def test_regions_are_the_states_and_the_country() -> None:
    codes = region_codes()

    assert codes[0] == "US"
    assert {"US-OH", "US-DC", "US-PR"} <= set(codes)
    assert len(codes) == 58


class TestFindings:
    def test_defaults_are_assumptions_and_no_findings(self) -> None:
        assert describe_job(four_facts(), TODAY).findings == ()


class TestSamples:
    @pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
    def test_a_sample_is_a_sound_job(self, path: Path) -> None:
        description = describe_job(read_job_document(path.read_bytes(), path.name), TODAY)

        assert not [found for found in description.findings if found.severity == "error"]

    def test_the_samples_are_what_they_are_named(self) -> None:
        jobs = {
            path.stem: describe_job(read_job_document(path.read_bytes(), path.name), TODAY).job
            for path in SAMPLES
        }

        assert len(jobs["six_circuit_block"].circuits) == 6
        assert jobs["six_circuit_block"].supply.continuous_w == 5000
        assert len(jobs["ten_circuit_flush"].circuits) == 10
        assert jobs["ten_circuit_flush"].transfer.mounting == "flush"
        assert jobs["single_voltage_supply"].supply.system == "120"
        assert any(circuit.poles == 2 for circuit in jobs["single_voltage_supply"].circuits)
        assert jobs["long_outdoor_pvc"].runs[0].length_ft == 90
        assert jobs["long_outdoor_pvc"].runs[0].sun_exposed
