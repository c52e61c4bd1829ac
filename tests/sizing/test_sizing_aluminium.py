"""Aluminium conductors: sizes, terminals, splices."""

from decimal import Decimal

import pytest
from sizing_jobs import a_circuit, codes, designed, finding_of, with_feeder, with_switch_run

FIFTY = {
    "supply": {"continuous_w": Decimal(12000), "surge_w": Decimal(20000), "outlet": "14-50"},
    "inlet": {"configuration": "14-50"},
    "transfer": {"rating_a": 50},
}


def test_aluminium_on_a_30_a_inlet_and_switch_is_an_error():
    design = designed(a_circuit(), runs=with_feeder(conductor_material="al"))

    error = finding_of(design, "AL_ON_COPPER_TERMINAL")
    assert (error.severity, error.where) == ("error", "/runs/0/conductor_material")
    assert error.source == "nec_conductor_materials"
    assert "the 30 A inlet and the 30 A transfer equipment" in error.message
    assert "Use copper" in error.remedy
    assert "AL_TERMINALS" not in codes(design)
    assert design.runs[0].conductors


def test_aluminium_on_50_a_terminals_has_to_be_marked():
    design = designed(a_circuit(), runs=with_feeder(conductor_material="al"), **FIFTY)

    warning = finding_of(design, "AL_TERMINALS")
    assert (warning.severity, warning.where) == ("warning", "/runs/0/conductor_material")
    assert "AL or AL-CU" in warning.remedy
    assert "AL_ON_COPPER_TERMINAL" not in codes(design)


def test_12_awg_aluminium_on_a_switch_is_an_error_and_is_sized_for_15_a_only():
    runs = with_switch_run(conductor_material="al", length_ft=Decimal(2))

    design = designed(
        a_circuit("Fifteen"),
        a_circuit("Twenty", breaker_a=20),
        runs=runs,
        transfer={"factory_whip": False},
    )

    error = finding_of(design, "AL_ON_COPPER_TERMINAL")
    assert error.where == "/runs/1/conductor_material"
    assert "the 30 A transfer equipment" in error.message
    assert "load centre" not in error.message
    # 240.4(D): 12 AWG aluminium may have 15 A ahead of it, 10 AWG 25 A; 14 AWG is not made.
    assert [c.conductor_size for c in design.circuits] == ["12 AWG", "10 AWG"]


@pytest.mark.parametrize(
    ("place", "noted"), [("indoor", False), ("outdoor", True), ("underground", True)]
)
def test_aluminium_ground_outdoors_keeps_away_from_the_earth(place, noted):
    runs = with_feeder(conductor_material="al", wiring_method="PVC-80", place=place)

    design = designed(a_circuit(), runs=runs)

    assert ("AL_NEAR_EARTH" in codes(design)) is noted
    if noted:
        note = finding_of(design, "AL_NEAR_EARTH")
        assert note.severity == "note"
        assert "listed outdoor enclosure" in note.remedy


@pytest.mark.parametrize("method", ["interlock", "subpanel"])
def test_only_circuits_that_are_moved_are_spliced(method):
    circuit = a_circuit("Den", conductor_material="al", conductor_size="10 AWG")

    design = designed(circuit, transfer={"method": method})

    assert ("AL_CIRCUIT_SPLICE" in codes(design)) is (method == "subpanel")


def test_copper_gives_no_finding_on_aluminium():
    assert not codes(designed(a_circuit())) & {
        "AL_ON_COPPER_TERMINAL", "AL_TERMINALS", "AL_CIRCUIT_SPLICE", "AL_NEAR_EARTH",
    }  # fmt: skip


@pytest.mark.parametrize("material", ["cu", "al"])
def test_aluminium_house_wiring_is_spliced_with_listed_connectors(material):
    circuit = a_circuit("Den", conductor_material=material, conductor_size="10 AWG")

    design = designed(circuit, a_circuit("Hall"))

    assert ("AL_CIRCUIT_SPLICE" in codes(design)) is (material == "al")
    if material == "al":
        warning = finding_of(design, "AL_CIRCUIT_SPLICE")
        assert warning.severity == "warning"
        assert "Den" in warning.message
        assert "Hall" not in warning.message
        assert "listed for copper with aluminium" in warning.remedy
