"""Underground runs: cover by method, risers, trench."""

from decimal import Decimal

import pytest
from sizing_jobs import TABLES, a_circuit, codes, designed, finding_of, with_feeder

from estimator.sizing.burial import DRIVEWAY, ROAD, USUAL, cover_required_in

COVER = {
    "UF-B": 24, "RMC": 6, "IMC": 6, "PVC-40": 18, "PVC-80": 18, "EMT": 18, "LFMC": 18,
    "LFNC-B": 18,
}  # fmt: skip


def buried(method="PVC-80", **changes):
    return designed(
        a_circuit(), runs=with_feeder(wiring_method=method, place="underground", **changes)
    )


@pytest.mark.parametrize(("method", "inches"), COVER.items())
def test_cover_is_by_wiring_method(method, inches):
    for depth, shallow in ((inches, False), (inches - Decimal("0.1"), True)):
        design = buried(method, depth_in=Decimal(depth))

        assert ("COVER_TOO_SHALLOW" in codes(design)) is shallow
        assert "BURIAL_DEPTH_UNKNOWN" not in codes(design)
        if shallow:
            error = finding_of(design, "COVER_TOO_SHALLOW")
            assert (error.severity, error.where) == ("error", "/runs/0/depth_in")
            assert error.source == "nec_300_5"
            assert f"{method} needs {inches} in of cover" in error.message
            assert f"Dig for {inches} in" in error.remedy
            assert "24 in under a road" in error.remedy
        assert design.runs[0].conductors


@pytest.mark.parametrize(("method", "inches"), COVER.items())
def test_depth_not_told_is_a_warning_that_names_the_cover(method, inches):
    warning = finding_of(buried(method), "BURIAL_DEPTH_UNKNOWN")

    assert (warning.severity, warning.where) == ("warning", "/runs/0/depth_in")
    assert f"needs {inches} in of cover" in warning.message
    assert "give depth_in" in warning.remedy


def test_shallow_cable_may_be_exchanged_for_conduit():
    between = finding_of(buried("UF-B", depth_in=Decimal(18)), "COVER_TOO_SHALLOW")
    rigid = finding_of(buried("PVC-40", depth_in=Decimal(6)), "COVER_TOO_SHALLOW")
    nothing = finding_of(buried("PVC-40", depth_in=Decimal(5)), "COVER_TOO_SHALLOW")

    assert "PVC-40 or PVC-80" in between.remedy
    assert "use IMC or RMC, which may lie this shallow" in rigid.remedy
    assert "or use" not in nothing.remedy


@pytest.mark.parametrize("method", ["NM-B", "SER", "MC", "ENT", "FMC"])
def test_method_that_may_not_be_buried_is_an_error_and_has_no_cover(method):
    design = buried(method, depth_in=Decimal(30))

    error = finding_of(design, "METHOD_NOT_UNDERGROUND")
    assert error.severity == "error"
    assert "PVC-40, PVC-80" in error.remedy
    assert "UF-B" in error.remedy
    assert "RISER_PROTECTION" not in codes(design)
    assert design.runs[0].conductors


@pytest.mark.parametrize(
    ("method", "location", "inches"),
    [
        ("UF-B", USUAL, 24), ("UF-B", DRIVEWAY, 18), ("UF-B", ROAD, 24),
        ("RMC", USUAL, 6), ("RMC", DRIVEWAY, 18), ("RMC", ROAD, 24),
        ("PVC-40", "under_2_in_concrete", 12), ("RMC", "under_4_in_slab", 4),
        ("UF-B", "under_4_in_slab", 18), ("PVC-40", "under_building", 0),
    ],
)  # fmt: skip
def test_cover_table_is_that_published(method, location, inches):
    run = with_feeder(wiring_method=method, place="underground")[0]

    assert cover_required_in(run, location, TABLES) == inches


@pytest.mark.parametrize(
    ("method", "severity"), [("EMT", "warning"), ("LFMC", "warning"), ("RMC", "note")]
)
def test_metal_and_flexible_conduit_lie_in_earth_only_if_suited(method, severity):
    finding = finding_of(buried(method, depth_in=Decimal(24)), "METHOD_ONLY_IF")

    assert finding.severity == severity
    assert "underground only if" in finding.message


@pytest.mark.parametrize(("method", "noted"), [("PVC-40", True), ("RMC", False), ("UF-B", False)])
def test_risers_are_protected_and_rigid_plastic_moves(method, noted):
    design = buried(method, depth_in=Decimal(24))

    risers = finding_of(design, "RISER_PROTECTION")
    assert "18 in below grade" in risers.message
    assert "8 ft above" in risers.message
    assert "PVC-80, RMC or IMC" in risers.remedy
    assert ("EARTH_MOVEMENT" in codes(design)) is noted
    if noted:
        assert "expansion fitting" in finding_of(design, "EARTH_MOVEMENT").remedy


def test_depth_and_air_temperature_stand_as_reasons():
    run = buried(depth_in=Decimal(20), ambient_c=Decimal(38)).runs[0]

    (cover,) = [reason for reason in run.because if reason.source == "nec_300_5"]
    assert cover.figures == (("cover_required_in", "18"), ("depth_in", "20"))
    assert any("not the earth's" in reason.text for reason in run.because)


def test_run_above_ground_has_nothing_of_it():
    design = designed(a_circuit(), runs=with_feeder(wiring_method="PVC-80", place="outdoor"))

    assert not codes(design) & {
        "BURIAL_DEPTH_UNKNOWN", "COVER_TOO_SHALLOW", "RISER_PROTECTION", "EARTH_MOVEMENT",
    }  # fmt: skip
    assert not [reason for reason in design.runs[0].because if reason.source == "nec_300_5"]
