"""Underground runs: trench, warning tape, risers, sleeves and turns."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import (
    codes,
    count,
    make_cable_run,
    make_job,
    make_run,
    parts_of,
    taken,
)
from takeoff_flow import quantity as quantity_of
from takeoff_flow import take

from estimator.sizing.records import RunDesign
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.records import TakeOff
from estimator.takeoff.tables import load_take_off_tables

TWO_TURNS = (Decimal(90), Decimal(90))


def buried(method: Any, length: str = "60", **changes: Any) -> RunDesign:
    changes = {"bends_deg": TWO_TURNS, "wall_penetrations": 0, "place": "underground", **changes}
    return make_run(length, wiring_method=method, **changes)


def buried_uf(length: str = "60", **changes: Any) -> RunDesign:
    return make_cable_run("UF-B", length, place="underground", exposure="wet", **changes)


def quantity(result: TakeOff, code: str) -> Decimal:
    return sum((task.quantity for task in result.labour if task.code == code), Decimal(0))


@pytest.mark.parametrize(
    ("length", "hand", "machine"), [("49.5", "4.95", "0"), ("50", "0", "5"), ("110", "0", "11")]
)
@pytest.mark.parametrize("method", ["PVC-40", "RMC", "UF-B"])
def test_a_trench_is_dug_by_hand_up_to_fifty_feet_and_by_machine_from_there(
    method: str, length: str, hand: str, machine: str
) -> None:
    run = buried_uf(length) if method == "UF-B" else buried(method, length)

    result = taken(make_job(), run)

    dug = (quantity(result, "trench"), quantity(result, "trench_machine"))
    assert dug == (Decimal(hand), Decimal(machine))
    assert count(result, "consumable", consumable="underground warning tape") == 1


def test_two_runs_share_a_roll_of_warning_tape_and_one_call() -> None:
    short = taken(make_job(), buried("PVC-80", "120"), buried("PVC-80", "130", index=5))
    long = taken(make_job(), buried("PVC-80", "120"), buried("PVC-80", "130.5", index=5))

    rolls = [
        count(one, "consumable", consumable="underground warning tape") for one in (short, long)
    ]
    assert rolls == [1, 2]
    assert [one.code for one in short.findings].count("CALL_BEFORE_DIGGING") == 1


def test_a_run_above_ground_has_neither_trench_nor_tape() -> None:
    result = taken(make_job(), make_run("60"))

    assert quantity(result, "trench") == quantity(result, "trench_machine") == 0
    assert count(result, "consumable", consumable="underground warning tape") == 0
    assert "CALL_BEFORE_DIGGING" not in codes(result)


@given(st.integers(min_value=4, max_value=400))
def test_thin_pvc_comes_up_in_two_risers_of_schedule_80(quarters: int) -> None:
    """NFPA 70 300.5(D): from 18 in below to 8 ft above grade."""
    length = Decimal(quarters) / 4

    result = taken(make_job(), buried("PVC-40", str(length)))

    cuts = {dict(part.attributes)["raceway"]: part.cuts_ft for part in parts_of(result, "raceway")}
    riser = min(Decimal("9.5"), length / 2)
    assert cuts["PVC-80"] == (riser, riser)
    assert sum(cuts.get("PVC-40", ())) == length - 2 * riser
    assert all(cut <= 10 for cut in cuts.get("PVC-40", ()))


@pytest.mark.parametrize("method", ["PVC-80", "RMC", "IMC", "EMT"])
def test_strong_conduit_comes_up_as_it_is(method: str) -> None:
    result = taken(make_job(), buried(method))

    (raceway,) = parts_of(result, "raceway")
    assert dict(raceway.attributes)["raceway"] == method
    assert raceway.quantity == 60


@pytest.mark.parametrize(("method", "straps"), [("PVC-40", 4), ("RMC", 4), ("EMT", 4)])
def test_only_what_stands_above_grade_is_strapped(method: str, straps: int) -> None:
    """8 ft a riser: within 3 ft of each end, 2 ft between."""
    assert count(taken(make_job(), buried(method)), "raceway_strap") == straps


@pytest.mark.parametrize("inlet", ["L14-20", "L14-30", "14-50", "CS6375"])
@pytest.mark.parametrize("length", [20, 60, 150])
def test_a_buried_run_has_the_trade_size_that_holds_its_wires_in_the_risers_too(
    inlet: str, length: int
) -> None:
    """Chapter 9 tables 1 and 4: schedule 80 of the same trade size has the smaller bore."""
    run = {
        "from": "inlet", "to": "transfer", "length_ft": length, "wiring_method": "PVC-40",
        "place": "underground", "depth_in": 24, "bends_deg": [90, 90],
    }  # fmt: skip

    taken_off = take(inlet=inlet, run_length_ft=length, runs=[run])

    (design,) = [one for one in taken_off.design.runs if one.from_ == "inlet"]
    tables = load_sizing_tables()
    inside = dict(tables.raceways["PVC-80"])[str(design.trade_size)]
    wires = [tables.dimensions[one.insulation][one.size].area_in2 for one in design.conductors]
    assert float(sum(wires)) <= 0.4 * 3.14159 * float(inside) ** 2 / 4 * 1.001
    assert quantity_of(taken_off, "raceway", raceway="PVC-80", trade_size=design.trade_size) > 0


def test_a_trade_size_that_the_risers_asked_for_says_so() -> None:
    """Four 6 AWG and a 10 AWG fill 3/4 schedule 40 but not 3/4 schedule 80."""
    run = {
        "from": "inlet", "to": "transfer", "length_ft": 60, "wiring_method": "PVC-40",
        "bends_deg": [90, 90],
    }  # fmt: skip
    earth = {"place": "underground", "depth_in": 24}

    buried_run, free = (
        take(inlet="14-50", run_length_ft=60, runs=[{**run, **place}]).design.runs[0]
        for place in (earth, {"place": "outdoor"})
    )

    assert (free.trade_size, buried_run.trade_size) == ("3/4", "1")
    assert any("risers are PVC-80" in reason.text for reason in buried_run.because)


@pytest.mark.parametrize(
    ("bends", "elbows"), [((), 2), ((90,), 2), ((90, 90), 2), ((180,), 2), ((90, 90, 45), 3)]
)
def test_a_buried_run_turns_up_at_both_ends_whatever_is_told(
    bends: tuple[int, ...], elbows: int
) -> None:
    result = taken(make_job(), buried("PVC-40", bends_deg=tuple(map(Decimal, bends))))

    assert count(result, "elbow") == elbows
    assert count(result, "raceway_coupling") == elbows
    assert ("UNDERGROUND_TURNS_ADDED" in codes(result)) is (sum(bends) < 180)


def test_flexible_conduit_out_of_the_earth_is_told() -> None:
    assert "RISER_OF_FLEXIBLE_CONDUIT" in codes(taken(make_job(), buried("LFMC")))


@pytest.mark.parametrize(
    ("size", "sleeve"), [("12 AWG", "3/4"), ("10 AWG", "1"), ("6 AWG", "1-1/4")]
)
def test_buried_cable_comes_up_in_two_sleeves_with_bushings_at_all_ends(
    size: str, sleeve: str
) -> None:
    """NFPA 70 300.5(D) and (H)."""
    result = taken(make_job(surface="plywood"), buried_uf(size=size, surface="plywood"))

    conduit = {"raceway": "PVC-80", "trade_size": sleeve}
    assert count(result, "raceway", **conduit) == 19
    assert count(result, "insulating_bushing", trade_size=sleeve) == 4
    assert count(result, "raceway_connector", trade_size=sleeve) == 2
    assert count(result, "locknut", trade_size=sleeve, style="sealing") == 2
    assert count(result, "cable_connector") == 0
    assert count(result, "cable_staple") == count(result, "cable_strap") == 0


def test_the_second_sleeve_turns_into_the_wall_where_the_run_goes_through_one() -> None:
    run = buried_uf(surface="plywood", wall_penetrations=1)

    result = taken(make_job(surface="plywood"), run)

    assert count(result, "raceway", raceway="PVC-80") == 20
    assert count(result, "conduit_body", raceway="PVC", trade_size="1", shape="LB") == 1
    assert count(result, "raceway_connector") == 1
    assert count(result, "cable_connector", style="clamp") == 1
    assert count(result, "insulating_bushing") == 4
    assert count(result, "drill_bit", bit="long auger bit", diameter="1-1/2") == 1
    assert count(result, "consumable", consumable="duct seal") == 1


def test_sleeves_let_their_cable_through() -> None:
    """Chapter 9 note 2: fill does not limit a sleeve, so its bore need only be wider."""
    inside = dict(load_sizing_tables().raceways["PVC-80"])

    for (cable, _, size, _), major in load_sizing_tables().cable_major_in.items():
        if cable == "UF-B":
            row = load_take_off_tables().cable_fittings[cable, size]
            assert row.sleeve is not None
            assert major < inside[row.sleeve] * Decimal("0.9")


@pytest.mark.parametrize(("length", "tool"), [("49.5", "shovel"), ("50", "trencher")])
def test_whoever_digs_needs_the_tool_for_it(length: str, tool: str) -> None:
    result = taken(make_job(), buried("PVC-80", length))

    assert {need.tool for need in result.tools} & {"shovel", "trencher"} == {tool}
