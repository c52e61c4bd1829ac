"""Every wiring method in every place, exposure and on every surface, by the real design."""

from datetime import date
from decimal import Decimal
from typing import Any, get_args

import pytest
from takeoff_factory import count, parts_of

from estimator.finding import Finding
from estimator.job.describe import describe_job
from estimator.job.records import Exposure, Place, Surface, WiringMethod
from estimator.sizing.design import design_job
from estimator.sizing.records import Design, RunDesign
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.records import TakeOff
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off

METHODS, PLACES = get_args(WiringMethod), get_args(Place)
EXPOSURES, SURFACES = get_args(Exposure), get_args(Surface)
TABLES = load_take_off_tables()
LENGTH = Decimal(30)
MAKE_UP = Decimal(4)


def built(
    method: str, place: str, exposure: str, surface: str, **job: Any
) -> tuple[Design, TakeOff]:
    """One run of 30 ft of a method from the inlet to the switch, designed and taken off."""
    told = {
        "circuits": [
            {"name": "Freezer", "breaker_a": 20, "running_w": 300},
            {"name": "Lights", "breaker_a": 15, "running_w": 200},
        ],
        "mounting_surface": surface,
        "run_length_ft": 30,
        "inlet": "L14-30",
        "runs": [
            {
                "from": "inlet", "to": "transfer", "length_ft": 30, "wiring_method": method,
                "place": place, "exposure": exposure, "surface": surface, "ambient_c": 30,
                "depth_in": 24 if place == "underground" else None, "wall_penetrations": 1,
            }
        ],
        **job,
    }  # fmt: skip
    told["runs"] = [{k: v for k, v in run.items() if v is not None} for run in told["runs"]]
    described = describe_job(told, date(2026, 3, 2)).job
    design = design_job(described, load_sizing_tables())
    return design, take_off(described, design, TABLES)


def errors(findings: tuple[Finding, ...]) -> list[Finding]:
    return [finding for finding in findings if finding.severity == "error"]


@pytest.mark.parametrize("exposure", EXPOSURES)
@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("method", METHODS)
def test_what_is_allowed_is_taken_off_whole_and_what_is_not_says_why(
    method: str, place: str, exposure: str
) -> None:
    for surface in SURFACES:
        design, result = built(method, place, exposure, surface)

        assert not errors(result.findings)
        for error in errors(design.findings):
            assert error.code.startswith("METHOD_"), error
            assert method in error.message
            assert error.remedy
        _nothing_is_missing(design.runs[0], result)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("inlet", ["14-50", "CS6375"])
def test_fifty_amperes_go_by_every_method_too(method: str, inlet: str) -> None:
    place = "outdoor" if method in ("UF-B", "SER", "PVC-40", "RMC", "IMC", "LFMC") else "indoor"
    exposure = "wet" if place == "outdoor" else "dry"

    design, result = built(
        method, place, exposure, "plywood", inlet=inlet, transfer={"rating_a": 50}
    )

    assert not errors(result.findings)
    _nothing_is_missing(design.runs[0], result)


def _nothing_is_missing(run: RunDesign, result: TakeOff) -> None:
    method = TABLES.methods[run.wiring_method]
    _wire_reaches(run, result)
    if method.form == "cable":
        _cable_is_whole(run, result)
    else:
        _raceway_is_whole(run, result)
    tasks = {task.code: task.quantity for task in result.labour}
    assert tasks["terminate_small" if "terminate_small" in tasks else "terminate_large"] == 2
    dug = tasks.keys() & {"trench", "trench_machine"}
    assert bool(dug) is (run.place == "underground")
    assert count(result, "consumable", consumable="duct seal") == 1
    assert "misc" not in " ".join(part.description for part in result.parts).lower()


def _wire_reaches(run: RunDesign, result: TakeOff) -> None:
    pieces = parts_of(result, "conductor") + parts_of(result, "cable")
    longest = (LENGTH + MAKE_UP) * Decimal("1.1") + Decimal("0.5")
    assert all(LENGTH < cut < longest for part in pieces for cut in part.cuts_ft)
    for wire in run.conductors:
        allowed = {
            "ungrounded": {"black", "red"},
            "neutral": {"white", "grey"},
            "equipment_ground": {"green", "bare"},
        }[wire.role]
        assert wire.colour in allowed
    bought = sum(len(part.cuts_ft) for part in pieces)
    in_cable = TABLES.methods[run.wiring_method].form == "cable"
    assert bought == (1 if in_cable else sum(wire.count for wire in run.conductors))


def _cable_is_whole(run: RunDesign, result: TakeOff) -> None:
    # An end comes in by a cable connector or by the adapter of a sleeve.
    assert count(result, "cable_connector") + count(result, "raceway_connector") == 2
    held = count(result, "cable_staple") + count(result, "cable_strap")
    assert (held > 0) is (run.place != "underground")
    assert "cable_small" in {task.code for task in result.labour} or "cable_large" in {
        task.code for task in result.labour
    }


def _raceway_is_whole(run: RunDesign, result: TakeOff) -> None:
    method = TABLES.methods[run.wiring_method]
    feet = count(result, "raceway") + count(result, "flexible_raceway")
    assert feet == LENGTH
    bodies = count(result, "conduit_body", shape="LB")
    assert bodies == 1
    size = run.trade_size or ""
    ends = count(result, "raceway_connector", trade_size=size)
    if method.dry_connector is None:
        assert ends == 0
        assert count(result, "locknut", trade_size=size) == 4
    else:
        assert ends == (4 if method.body_takes_connectors else 2)
    protected = count(result, "insulating_bushing", trade_size=size)
    protected += count(result, "anti_short_bushing", trade_size=size)
    assert protected == {"bushing": 2, "anti-short": 4, "throat": 0}[method.end_insert]
    sticks = [cut for part in parts_of(result, "raceway") for cut in part.cuts_ft]
    elbows = count(result, "elbow")
    joints = max(0, len(sticks) - 1)
    couplings = elbows + (0 if method.joint_on_stick else joints)
    assert count(result, "raceway_coupling") == couplings
    assert count(result, "raceway_strap") > 0
