"""What must hold for every job: more of what heats or lengthens never asks for less."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from sizing_jobs import (
    TABLES,
    a_circuit,
    a_job,
    codes,
    designed,
    two_pole,
    with_feeder,
    with_switch_run,
)

from estimator.published.sources import load_sources
from estimator.sizing.ampacity import Conditions, Demand, smallest_conductor
from estimator.sizing.design import design_job
from estimator.sizing.fill import holds
from estimator.sizing.grounding import base_equipment_ground, raised_equipment_ground
from estimator.sizing.raceway import smallest_raceway
from estimator.units import TRADE_SIZES, WIRE_SIZES, wire_rank

SIZES = [size for size in WIRE_SIZES if size in TABLES.circular_mils]
RATINGS = st.sampled_from([15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150])
CONDITIONS = st.builds(
    Conditions,
    material=st.sampled_from(["cu", "al"]),
    insulation=st.sampled_from(sorted(TABLES.insulations)),
    ambient_c=st.decimals(min_value=-20, max_value=50, places=1),
    counted=st.integers(1, 45),
    nipple=st.booleans(),
    terminal_c=st.sampled_from([60, 75]),
    code_edition=st.sampled_from(["2020", "2023"]),
)
RACEWAYS = st.sampled_from(sorted(TABLES.raceways))
BUNDLES = st.dictionaries(
    st.sampled_from([TABLES.dimensions["THHN/THWN-2"][size] for size in SIZES[:12]]),
    st.integers(1, 12),
    min_size=1,
    max_size=3,
)


def rank(demand, conditions):
    found = smallest_conductor(demand, conditions, TABLES)
    return len(WIRE_SIZES) if found is None else wire_rank(found.size)


@given(CONDITIONS, RATINGS, RATINGS, st.booleans())
def test_more_current_never_asks_for_a_smaller_conductor(conditions, one, other, single):
    low, high = sorted((one, other))

    ranks = [rank(Demand(amps, single_load=single), conditions) for amps in (low, high)]

    assert ranks[0] <= ranks[1]


@given(CONDITIONS, RATINGS, st.decimals(min_value=0, max_value=30, places=1), st.booleans())
def test_more_heat_never_asks_for_a_smaller_conductor(conditions, amps, warmer, single):
    demand = Demand(amps, single_load=single)
    hot = replace(conditions, ambient_c=conditions.ambient_c + warmer)

    assert rank(demand, conditions) <= rank(demand, hot)


@given(CONDITIONS, RATINGS, st.integers(0, 40), st.booleans())
def test_more_bundling_never_asks_for_a_smaller_conductor(conditions, amps, more, single):
    demand = Demand(amps, single_load=single)
    crowded = replace(conditions, counted=conditions.counted + more)

    assert rank(demand, conditions) <= rank(demand, crowded)


@given(CONDITIONS, RATINGS)
def test_conductor_is_protected_by_its_device(conditions, amps):
    found = smallest_conductor(Demand(amps), conditions, TABLES)

    if found is not None:
        assert min(found.corrected_a, found.terminal_a) >= amps
        assert found.overcurrent_limit_a is None or found.overcurrent_limit_a >= amps


@given(
    st.integers(1, 1000),
    st.integers(0, 500),
    st.sampled_from(["cu", "al"]),
    st.sampled_from(sorted(TABLES.wiring_methods)),
)
def test_longer_run_never_has_a_smaller_conductor(length, more, material, method):
    ranks = []
    for feet in (length, length + more):
        runs = with_feeder(
            length_ft=Decimal(feet), conductor_material=material, wiring_method=method
        )
        design = designed(a_circuit(), runs=runs)
        feeder = design.runs[0]
        reached = "VOLTAGE_DROP_NOT_REACHED" not in codes(design)
        ranks.append(wire_rank(feeder.conductors[0].size) if reached else len(WIRE_SIZES))
        if reached:
            assert feeder.voltage_drop_percent <= 3
        else:
            assert (method, material) in TABLES.cables
            assert feeder.conductors[0].size == feeder.enough_without_drop

    assert ranks[0] <= ranks[1]


@given(
    st.sampled_from(sorted(TABLES.wiring_methods)),
    st.sampled_from(["cu", "al"]),
    st.integers(1, 600),
)
def test_raised_run_never_leaves_its_ground_behind(method, material, feet):
    runs = with_feeder(length_ft=Decimal(feet), conductor_material=material, wiring_method=method)
    run = designed(a_circuit(), runs=runs).runs[0]
    mils = TABLES.circular_mils
    base = base_equipment_ground(run.overcurrent_a, material, TABLES)

    (ground,) = [c.size for c in run.conductors if c.role == "equipment_ground"]

    used, enough = mils[run.conductors[0].size], mils[run.enough_without_drop]
    assert mils[ground] * enough >= mils[base] * used or mils[ground] >= used


@given(RACEWAYS, BUNDLES, st.booleans())
def test_trade_size_is_the_smallest_that_may_hold_the_conductors(raceway, bundle, nipple):
    conductors = tuple(bundle.items())
    offered = [pair for pair in TABLES.raceways[raceway] if pair[0] != "3/8"]

    choice = smallest_raceway(raceway, conductors, nipple, TABLES)

    holding = [size for size, inside in offered if holds(conductors, inside, nipple, TABLES)]
    assert (choice.trade_size if choice else None) == (holding[0] if holding else None)
    assert holding == [size for size, _ in offered][len(offered) - len(holding) :]
    if choice is not None:
        assert choice.trade_size in TRADE_SIZES
        assert choice.fill_percent <= choice.limit_percent or (
            choice.by_rounding and len(conductors) == 1
        )


@given(
    st.sampled_from([15, 20, 30, 50, 60, 100, 200]),
    st.sampled_from(["cu", "al"]),
    st.integers(0, len(SIZES) - 1),
    st.integers(0, len(SIZES) - 1),
)
def test_ground_follows_the_raised_conductor_and_never_passes_it(amps, material, one, other):
    base = base_equipment_ground(amps, material, TABLES)
    enough, used = SIZES[min(one, other)], SIZES[max(one, other)]
    mils = TABLES.circular_mils

    raised = raised_equipment_ground(base, enough, used, TABLES)

    if used == enough:
        assert mils[raised] == min(mils[base], mils[used])
    else:
        assert mils[raised] <= mils[used]
        in_proportion = mils[raised] * mils[enough] >= mils[base] * mils[used]
        assert in_proportion or raised == used
        one_smaller = SIZES[SIZES.index(raised) - 1] if raised != SIZES[0] else None
        if one_smaller is not None:
            assert mils[one_smaller] * mils[enough] < mils[base] * mils[used]


CIRCUITS = st.lists(
    st.tuples(st.sampled_from([15, 20, 30]), st.integers(0, 1800), st.booleans()),
    min_size=1,
    max_size=14,
)


@settings(max_examples=60)
@given(
    CIRCUITS,
    st.sampled_from(sorted(TABLES.wiring_methods)),
    st.sampled_from(["cu", "al"]),
    st.sampled_from(["indoor", "outdoor", "underground"]),
    st.sampled_from([None, Decimal(4), Decimal(18), Decimal(30)]),
    st.decimals(min_value="0.1", max_value=300, places=1),
    st.decimals(min_value=-50, max_value=80, places=0),
    st.sampled_from(["L5-20", "L5-30", "TT-30", "L14-30", "14-50", "6-30", "10-30", "CS6375"]),
    st.sampled_from(["manual_switch", "interlock", "subpanel", "automatic_switch"]),
    st.sampled_from([None, 1, 5, 6, 12, 42]),
)
def test_no_job_stops_the_design(
    circuits, method, material, place, depth, feet, ambient, inlet, transfer, spaces
):
    made = [
        (two_pole if double else a_circuit)(f"C{n}", watts, breaker_a=amps)
        for n, (amps, watts, double) in enumerate(circuits)
    ]
    run = with_feeder(
        wiring_method=method,
        conductor_material=material,
        place=place,
        depth_in=depth if place == "underground" else None,
        length_ft=feet,
        ambient_c=ambient,
    )[0]
    runs = (run, replace(with_switch_run()[1], length_ft=feet, ambient_c=ambient))
    job = a_job(
        *made,
        runs=runs,
        inlet={"configuration": inlet},
        transfer={"method": transfer, "spaces": spaces},
    )

    design = design_job(job, TABLES)

    assert len(design.circuits) == len(made)
    assert len(design.runs) == 2
    assert design.transfer.spaces_used <= min(design.transfer.spaces, design.transfer.spaces_needed)
    known = load_sources()
    reasons = [
        *design.load_study.because,
        *design.transfer.because,
        *design.cord.because,
        *(reason for part in (*design.circuits, *design.runs) for reason in part.because),
    ]
    for entry in (*reasons, *design.findings):
        assert entry.source in known
    for finding in design.findings:
        assert finding.remedy.endswith(".")
        assert finding.message.endswith(".")
    order = [("error", "warning", "note").index(f.severity) for f in design.findings]
    assert order == sorted(order)


def test_empty_job_has_a_design():
    job = replace(a_job(), circuits=())

    design = design_job(job, TABLES)

    assert design.load_study.running_w == 0
    assert design.circuits == ()
