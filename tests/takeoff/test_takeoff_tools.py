"""The tools of one who does it alone: each asked for by something of the job."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from takeoff_factory import make_job, make_run, make_whip, on_surface, taken

from estimator.job.records import ComparisonTerms
from estimator.published.sources import load_sources
from estimator.takeoff.labour_units import load_labour_units
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import TakeOff
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.tools import load_tools

MASONRY = {"hammer_drill", "dust_vacuum", "respirator"}


def tools(result: TakeOff) -> set[str]:
    return {tool.tool for tool in result.tools}


def owning(*names: str) -> TakeOff:
    job = make_job()
    terms = replace(job.comparison, tools_owned=names)
    return taken(replace(job, comparison=terms))


def with_run(**changes: Any) -> set[str]:
    job = make_job(surface="stud_drywall")
    run = make_run(surface="stud_drywall", **changes)
    return tools(taken(job, run, make_whip(job.circuits, surface="stud_drywall")))


@pytest.mark.parametrize("surface", ["poured_concrete", "concrete_block", "brick"])
def test_masonry_asks_for_a_hammer_drill_and_what_keeps_the_dust_down(surface: str) -> None:
    found = tools(on_surface(surface))

    assert found >= MASONRY
    assert "drill" not in found


@pytest.mark.parametrize("surface", ["stud_drywall", "wood_siding", "plywood"])
def test_wood_asks_for_a_plain_drill(surface: str) -> None:
    found = tools(on_surface(surface))

    assert "drill" in found
    assert not found & MASONRY


def test_every_job_asks_for_proving_dead_and_for_torque() -> None:
    assert tools(taken()) >= {
        "voltage_tester", "breaker_lockout", "torque_screwdriver", "wire_stripper",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("trade_size", "bender"),
    [
        ("1/2", "conduit_bender_1_2"),
        ("3/4", "conduit_bender_3_4"),
        ("1", "conduit_bender_1"),
    ],
)
def test_emt_is_bent_with_the_bender_of_its_trade_size(trade_size: str, bender: str) -> None:
    found = with_run(trade_size=trade_size, bends_deg=(Decimal(90),))

    assert {tool for tool in found if tool.startswith("conduit_bender")} == {bender}


def test_a_straight_run_asks_for_no_bender() -> None:
    assert not any(tool.startswith("conduit_bender") for tool in with_run(bends_deg=()))


@pytest.mark.parametrize(
    ("method", "asked", "not_asked"),
    [
        ("EMT", {"hacksaw", "conduit_reamer"}, {"pvc_cutter", "pipe_threader"}),
        ("PVC-40", {"pvc_cutter"}, {"conduit_reamer", "pipe_threader"}),
        ("RMC", {"hacksaw", "pipe_threader", "pipe_wrenches"}, {"pvc_cutter"}),
    ],
)
def test_each_raceway_is_cut_with_its_own_tool(
    method: str, asked: set[str], not_asked: set[str]
) -> None:
    found = with_run(wiring_method=method)

    assert found >= asked
    assert not found & not_asked


def test_a_switch_set_flush_asks_for_opening_and_patching_the_wall() -> None:
    found = tools(on_surface("stud_drywall", transfer_mounting="flush"))

    assert found >= {"drywall_saw", "stud_finder", "right_angle_drill", "drywall_tools"}


@pytest.mark.parametrize(
    ("factor", "tool"), [("ladder", "ladder"), ("high_ladder", "extension_ladder")]
)
def test_work_out_of_reach_asks_for_its_ladder(factor: str, tool: str) -> None:
    assert tool not in tools(taken())
    assert tool in tools(taken(make_job(labour_factors=(factor,))))


def test_a_tool_at_hand_is_marked_as_owned() -> None:
    owned = {tool.tool: tool.owned for tool in owning("hacksaw").tools}

    assert owned["hacksaw"]
    assert not owned["wire_stripper"]


def test_owning_a_hammer_drill_spares_the_plain_one() -> None:
    job = make_job(surface="stud_drywall")
    job = replace(job, comparison=ComparisonTerms(None, Decimal(2), ("hammer_drill",), ()))
    run = make_run(surface="stud_drywall")

    result = taken(job, run, make_whip(job.circuits, surface="stud_drywall"))

    (drill,) = [tool for tool in result.tools if tool.tool == "drill"]
    assert drill.owned


def test_an_unknown_tool_is_noted_with_the_names_that_are_known() -> None:
    result = owning("hacksaw", "laser_saw")

    (note,) = [found for found in result.findings if found.code == "TOOL_NOT_KNOWN"]
    assert note.severity == "note"
    assert note.where == "/comparison/tools_owned/1"
    assert "laser_saw" in note.message
    assert all(name in note.remedy for name in load_tools().names)


def test_every_tool_says_why_with_a_known_source() -> None:
    for tool in taken().tools:
        assert tool.because
        assert all(reason.source in load_sources() for reason in tool.because)


def test_prices_are_in_order_and_rent_comes_with_its_days() -> None:
    for known in load_tools().known:
        need = known.need
        assert 0 < need.buy_low <= need.buy <= need.buy_high
        assert (need.rent_per_day is None) == (need.rent_days is None)


def test_every_trigger_asks_for_something_that_a_job_can_have() -> None:
    kinds = load_part_kinds()
    tasks = load_labour_units()
    factors = load_take_off_tables().factors

    for known in load_tools().known:
        for fact in frozenset().union(*known.trigger):
            word, _, rest = fact.partition(" ")
            told = {"task": rest in tasks, "factor": rest in factors, "always": not rest}
            assert told.get(word, word in kinds), (known.need.tool, fact)


def test_a_better_tool_is_a_tool_too() -> None:
    names = load_tools().names

    assert {known.better for known in load_tools().known} - {None} <= set(names)
