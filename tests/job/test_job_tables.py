"""The tables of the room: configurations, breakers, regions, fields not built yet."""

import tomllib
from datetime import date
from pathlib import Path

import pytest
from job_documents import four_facts, leaf_paths, with_value

from estimator.job import not_built
from estimator.job.breakers import load_branch_breakers
from estimator.job.configurations import (
    all_configurations,
    inlet_configurations,
    load_configurations,
)
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.job.regions import region_codes
from estimator.job.schema import JobSchema
from estimator.published.tables import package_text

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


class TestNotBuiltYet:
    @pytest.mark.parametrize(
        ("pointer", "value"),
        [("/stock", [{"kind": "locknut", "quantity": 4, "unit": "ea"}])],
    )
    def test_a_told_field_is_noted_where_it_stands(self, pointer: str, value: object) -> None:
        (finding,) = describe_job(with_value(pointer, value), TODAY).findings

        assert (finding.severity, finding.code) == ("note", "NOT_CONSIDERED_YET")
        assert finding.where == pointer
        assert "read and checked, but changes nothing yet" in finding.message
        assert finding.remedy

    @pytest.mark.parametrize(("pointer", "value"), [("/stock", [])])
    def test_nothing_told_is_not_noted(self, pointer: str, value: object) -> None:
        assert describe_job(with_value(pointer, value), TODAY).findings == ()

    def test_defaults_are_not_noted(self) -> None:
        assert describe_job(four_facts(), TODAY).findings == ()

    def test_every_listed_path_is_a_field_of_the_job(self) -> None:
        listed = tomllib.loads(package_text("estimator.job", "not_built.toml"))
        fields = leaf_paths(JobSchema())

        for path in listed:
            assert any(field == path or field.startswith(f"{path}/") for field in fields), path

    def test_many_of_a_kind_are_one_note(self, monkeypatch: pytest.MonkeyPatch) -> None:
        entry = not_built._NotBuilt(("runs", "*", "depth_in"), "it is not dug", "Dig by hand.")
        monkeypatch.setattr(not_built, "_load", lambda: (entry,))
        told = {"runs": [{"depth_in": 24}, {"length_ft": 2}, {"depth_in": 18}]}

        (finding,) = not_built.not_built_yet(told)

        assert finding.where == "/runs/0/depth_in"
        assert "given in 2 places" in finding.message


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
