"""Conductors and cables as cuts."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from takeoff_factory import (
    codes,
    count,
    make_circuit,
    make_circuits,
    make_job,
    make_run,
    make_switch_run,
    make_whip,
    make_wires,
    parts_of,
    taken,
)

from estimator.takeoff.tables import load_take_off_tables

COLOURS = {"black", "red", "white", "green"}


@given(st.integers(min_value=1, max_value=800))
def test_every_cut_covers_the_run_with_make_up_and_waste_in_half_feet(quarters: int) -> None:
    length = Decimal(quarters) / 4
    run = make_run(str(length))

    result = taken(make_job(), run)

    for part in parts_of(result, "conductor"):
        (cut,) = part.cuts_ft
        wanted = (length + 1 + 3) * Decimal("1.1")
        assert wanted <= cut < wanted + Decimal("0.5")
        assert cut % Decimal("0.5") == 0
        assert part.quantity == cut


@pytest.mark.parametrize(("node", "cut"), [("transfer", "45.5"), ("load_centre", "46.5")])
def test_make_up_goes_by_the_enclosure_at_each_end(node: str, cut: str) -> None:
    """Common practice: 1 ft in the inlet, 3 ft in the switch, 4 ft in the load centre;
    (37 + 1 + 3) x 1.1 is 45.1, (37 + 1 + 4) x 1.1 is 46.2."""
    result = taken(make_job(), make_run("37", to=node))

    cuts = {cut for part in parts_of(result, "conductor") for cut in part.cuts_ft}
    assert cuts == {Decimal(cut)}


def test_free_wire_at_each_end_is_never_below_six_inches() -> None:
    """NFPA 70 300.14."""
    make_up = load_take_off_tables().make_up

    assert min(row.length_ft for row in make_up.values()) >= Decimal("0.5")


@given(st.lists(st.sampled_from([1, 2]), min_size=1, max_size=8))
def test_each_pole_of_a_field_run_switch_takes_two_ungrounded_conductors(poles: list[int]) -> None:
    circuits = tuple(
        make_circuit(f"Circuit {place}", poles=number) for place, number in enumerate(poles)
    )
    job = make_job(circuits=circuits, transfer_factory_whip=False)

    result = taken(job, make_switch_run(circuits))

    pieces = {
        dict(part.attributes)["colour"]: len(part.cuts_ft)
        for part in parts_of(result, "conductor")
        if dict(part.attributes)["size"] == "12 AWG"
    }
    assert pieces == {"black": sum(poles), "red": sum(poles)}
    others = [
        len(part.cuts_ft)
        for part in parts_of(result, "conductor")
        if dict(part.attributes)["size"] == "10 AWG"
    ]
    assert others == [1, 1]


def test_wires_of_one_kind_in_two_runs_share_a_line_and_keep_their_cuts() -> None:
    job = make_job(transfer_factory_whip=False)

    result = taken(job, make_run("18"), make_switch_run(job.circuits))

    (white,) = [
        part for part in parts_of(result, "conductor") if dict(part.attributes)["colour"] == "white"
    ]
    assert white.cuts_ft == (Decimal("24.5"), Decimal("9.5"))
    assert white.asked_by == ("/runs/0", "/runs/1")
    assert len(white.because) == 2


def test_a_factory_whip_is_no_part_and_the_switch_says_why() -> None:
    job = make_job()

    result = taken(job, make_whip(job.circuits))

    assert not parts_of(result, "conductor")
    assert not parts_of(result, "flexible_raceway")
    (switch,) = parts_of(result, "transfer_switch")
    assert "whip" in switch.because[0].text
    assert dict(switch.attributes)["whip"] == "factory"


def test_all_colours_are_colours_of_the_trade() -> None:
    job = make_job(transfer_factory_whip=False)

    result = taken(job, make_run(), make_switch_run(job.circuits))

    assert {dict(part.attributes)["colour"] for part in parts_of(result, "conductor")} == COLOURS


def test_nm_b_is_one_cable_with_a_connector_at_each_end() -> None:
    run = make_run(
        "20",
        wiring_method="NM-B",
        trade_size=None,
        place="indoor",
        exposure="dry",
        wall_penetrations=0,
        conductors=make_wires("10 AWG", "20", "NM-B"),
    )

    result = taken(make_job(), run)

    (cable,) = parts_of(result, "cable")
    assert cable.attributes == (("cable", "NM-B"), ("conductors", "10/3"), ("material", "cu"))
    assert cable.cuts_ft == (Decimal("26.5"),)  # (20 + 1 + 3) x 1.1 = 26.4
    assert count(result, "cable_connector", trade_size="3/4") == 2
    assert not parts_of(result, "conductor")


def test_a_120_v_inlet_takes_two_wire_cable() -> None:
    wires = tuple(wire for wire in make_wires("10 AWG", "20", "NM-B") if wire.colour != "red")
    run = make_run("20", wiring_method="NM-B", trade_size=None, conductors=wires)

    result = taken(make_job(), run)

    assert count(result, "cable", conductors="10/2") > 0


def test_a_switch_run_in_cable_is_an_error_with_a_way_out() -> None:
    job = make_job(transfer_factory_whip=False)

    result = taken(job, make_switch_run(make_circuits(6), wiring_method="NM-B", trade_size=None))

    assert "CABLE_NOT_TAKEN_OFF" in codes(result)
    assert not parts_of(result, "cable")
    (error,) = [one for one in result.findings if one.code == "CABLE_NOT_TAKEN_OFF"]
    assert "raceway" in error.remedy


def test_large_wire_brings_marking_tape_and_aluminium_its_compound() -> None:
    copper = make_run(trade_size="1-1/4", conductors=make_wires("4 AWG"))
    aluminium = make_run(
        trade_size="1-1/4",
        conductors=tuple(replace(wire, material="al") for wire in make_wires("4 AWG")),
    )

    small, large, al = (taken(make_job(), run) for run in (make_run(), copper, aluminium))

    marking = {"consumable": "marking tape set"}
    assert [count(one, "consumable", **marking) for one in (small, large, al)] == [0, 1, 1]
    compound = {"consumable": "antioxidant compound"}
    assert [count(one, "consumable", **compound) for one in (small, large, al)] == [0, 0, 1]


@pytest.mark.parametrize(
    ("length", "bends", "bottles"),
    [("50", (), 0), ("50.5", (), 1), ("10", (90,), 0), ("10", (90, 90), 1), ("10", (180,), 1)],
)
def test_hard_pulls_take_lubricant(length: str, bends: tuple[int, ...], bottles: int) -> None:
    run = make_run(length, bends_deg=tuple(map(Decimal, bends)))

    result = taken(make_job(), run)

    assert count(result, "consumable", consumable="wire-pulling lubricant") == bottles
