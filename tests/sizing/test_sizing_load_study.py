"""Load study: sums, limits, what to leave off, run time and cost of energy."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sizing_jobs import (
    TABLES,
    a_circuit,
    a_direct_load,
    a_job,
    codes,
    designed,
    finding_of,
    two_pole,
)

from estimator.sizing.circuit_checks import check_feeder_load
from estimator.sizing.feed import describe_feed
from estimator.sizing.records import LegLoad


def test_starting_peak_is_all_running_plus_the_largest_step():
    design = designed(
        a_circuit("Refrigerator", 180, starting_w=Decimal(1200)),
        two_pole("Well pump", 1000, starting_w=Decimal(3000)),
        direct_loads=(a_direct_load(watts=30),),
    )

    assert design.load_study.running_w == 1210
    assert design.load_study.starting_peak_w == 1210 + 2000


def test_direct_load_on_a_120_v_outlet_is_on_no_leg():
    design = designed(a_circuit(watts=600), direct_loads=(a_direct_load(watts=500),))

    legs = dict(design.load_study.legs)
    assert design.load_study.running_w == 1100
    assert legs == {"L1": LegLoad(Decimal(600), Decimal("5.00")), "L2": LegLoad(0, 0)}


def test_direct_load_on_a_split_phase_outlet_loads_both_legs_by_half():
    design = designed(
        a_circuit(watts=600), direct_loads=(a_direct_load(watts=500, outlet="14-50"),)
    )

    legs = dict(design.load_study.legs)
    assert (legs["L1"].running_w, legs["L2"].running_w) == (850, 250)


def test_two_pole_circuit_loads_both_legs_by_half():
    design = designed(two_pole(watts=1200))

    legs = dict(design.load_study.legs)
    assert legs["L1"] == legs["L2"] == LegLoad(Decimal(600), Decimal("5.00"))


def test_120_v_feed_puts_everything_on_l1():
    supply = {"system": "120", "outlet": "L5-30", "continuous_w": Decimal(3000)}
    design = designed(
        a_circuit("A", 600), a_circuit("B", 500), supply=supply, inlet={"configuration": "L5-30"}
    )

    legs = dict(design.load_study.legs)
    assert (legs["L1"].running_w, legs["L2"].running_w) == (1100, 0)
    assert [circuit.leg for circuit in design.circuits] == ["L1", "L1"]


@pytest.mark.parametrize(
    ("continuous", "surge", "fits", "code"),
    [
        (1000, 1500, True, None),
        (999, 1500, False, "SUPPLY_OVERLOADED"),
        (1000, 1499, False, "SUPPLY_SURGE_TOO_LOW"),
    ],
)
def test_fits_up_to_the_ratings_and_not_beyond(continuous, surge, fits, code):
    design = designed(
        two_pole(watts=1000, starting_w=Decimal(1500)),
        supply={"continuous_w": Decimal(continuous), "surge_w": Decimal(surge)},
    )

    assert design.load_study.fits is fits
    assert code is None or code in codes(design)
    assert design.load_study.leave_off == (() if fits else ("Well pump",))


@pytest.mark.parametrize(("limit", "fits"), [(600, True), (599, False)])
def test_leg_may_carry_its_limit_and_no_more(limit, fits):
    design = designed(a_circuit(watts=600), supply={"leg_limit_w": Decimal(limit)})

    assert design.load_study.fits is fits
    assert ("LEG_OVERLOADED" in codes(design)) is not fits


def test_leg_limit_is_half_the_continuous_rating_unless_given():
    design = designed(
        a_circuit(watts=1100), supply={"continuous_w": Decimal(2000), "surge_w": Decimal(9000)}
    )

    finding = finding_of(design, "LEG_OVERLOADED")
    assert "1100 W is over the 1000 W" in finding.message
    assert "Leave off Lights" in finding.remedy
    assert finding.severity == "warning"


def test_missing_surge_rating_is_replaced_by_the_continuous_one_and_told():
    supply = {"continuous_w": Decimal(2000), "surge_w": None}

    design = designed(two_pole(watts=1000, starting_w=Decimal(2001)), supply=supply)

    assert design.load_study.fits is False
    assert any("No surge rating given" in b.text for b in design.load_study.because)


def test_unknown_rating_is_neither_a_yes_nor_a_no():
    design = designed(supply={"continuous_w": None, "surge_w": None})

    finding = finding_of(design, "SUPPLY_RATING_UNKNOWN")
    assert design.load_study.fits is None
    assert design.load_study.leave_off == ()
    assert finding.severity == "warning"
    assert "Give supply.continuous_w" in finding.remedy


@pytest.mark.parametrize(
    ("managed", "severity", "text"),
    [(False, "error", "or leave off Lights"), (True, "warning", "shed Lights")],
)
def test_automatic_switch_without_load_management_may_not_be_overloaded(managed, severity, text):
    design = designed(
        a_circuit(watts=1500),
        supply={"continuous_w": Decimal(1000)},
        transfer={"method": "automatic_switch", "load_management": managed},
    )

    finding = finding_of(design, "SUPPLY_OVERLOADED")
    assert finding.severity == severity
    assert text in finding.remedy
    assert (managed, True) == (
        any("Load management" in b.text for b in design.load_study.because),
        design.load_study.fits is False,
    )


def test_lowest_priority_is_left_off_first():
    design = designed(
        a_circuit("Furnace", 600, priority=1),
        a_circuit("Lights", 300, priority=2),
        a_circuit("Games", 300, priority=3),
        supply={"continuous_w": Decimal(1000), "leg_limit_w": Decimal(1000)},
    )

    assert design.load_study.leave_off == ("Games",)
    assert "Leave off Games" in finding_of(design, "SUPPLY_OVERLOADED").remedy


def test_life_support_is_kept_before_priority_one():
    design = designed(
        a_circuit("Furnace", 600, priority=1),
        a_circuit("Concentrator", 600, priority=3, life_support=True),
        supply={"continuous_w": Decimal(700), "leg_limit_w": Decimal(700)},
    )

    assert design.load_study.leave_off == ("Furnace",)


def test_direct_loads_that_alone_are_too_much_are_named():
    design = designed(
        a_circuit("Lights", 100),
        direct_loads=(a_direct_load("Vehicle", 1500),),
        supply={"continuous_w": Decimal(1000)},
    )

    finding = finding_of(design, "SUPPLY_OVERLOADED")
    assert design.load_study.leave_off == ("Lights",)
    assert "unplug some of them" in finding.remedy


LOADS = st.lists(
    st.tuples(
        st.integers(1, 2000), st.integers(0, 2000), st.integers(1, 3), st.sampled_from([1, 1, 2])
    ),
    min_size=1,
    max_size=7,
)


@settings(max_examples=150)
@given(LOADS, st.integers(100, 4000), st.integers(100, 6000))
def test_least_priority_is_lost(loads, continuous, surge):
    circuits = [
        a_circuit(f"C{n}", watts, starting_w=Decimal(watts + step), priority=priority, poles=poles)
        for n, (watts, step, priority, poles) in enumerate(loads)
    ]
    supply = {"continuous_w": Decimal(continuous), "surge_w": Decimal(max(surge, continuous))}
    design = designed(*circuits, supply=supply)
    legs = {circuit.name: circuit.leg for circuit in design.circuits}

    def fits(kept):
        running = sum(c.running_w for c in kept)
        step = max((c.starting_w - c.running_w for c in kept), default=0)
        on_legs = [
            sum(c.running_w / c.poles for c in kept if leg in legs[c.name]) for leg in ("L1", "L2")
        ]
        return (
            running <= continuous
            and running + step <= max(surge, continuous)
            and max(on_legs) <= Decimal(continuous) / 2
        )

    def loss(left_off):
        return tuple(sum(c.priority == tier for c in left_off) for tier in (1, 2, 3))

    choices = [
        [c for c, off in zip(circuits, chosen, strict=True) if off]
        for chosen in product((False, True), repeat=len(circuits))
    ]
    possible = [off for off in choices if fits([c for c in circuits if c not in off])]
    chosen = [c for c in circuits if c.name in design.load_study.leave_off]
    assert fits([c for c in circuits if c not in chosen])
    least = min(loss(off) for off in possible)
    assert loss(chosen) == least
    equals = [off for off in possible if loss(off) == least]
    kept_w = [sum(c.running_w for c in circuits if c not in off) for off in equals]
    assert sum(c.running_w for c in circuits if c not in chosen) == min(kept_w)


def test_choosing_what_to_leave_off_stays_quick_for_many_circuits():
    circuits = [a_circuit(f"C{n}", 100 + n % 7, priority=n % 3 + 1) for n in range(400)]

    design = designed(*circuits, supply={"continuous_w": Decimal(9000)})

    kept = [c for c in circuits if c.name not in design.load_study.leave_off]
    assert sum(c.running_w for c in kept) <= 9000
    assert not any("not proven" in b.text for b in design.load_study.because)


def test_run_time_is_cumulative_by_priority_and_weighted_by_duty():
    design = designed(
        a_circuit("Refrigerator", 180, priority=1, hours_per_day=Decimal(8)),
        a_circuit("Lights", 120, priority=2, hours_per_day=Decimal(12)),
        supply={"usable_kwh": Decimal("5.1"), "efficiency": Decimal("0.9"), "idle_w": Decimal(25)},
    )

    first, second = design.load_study.runtime_h
    # 180 W for 8 of 24 h is 60 W; 5100 Wh / (60 / 0.9 + 25) = 55.64 h.
    assert (first.priority, first.average_w, first.hours) == (1, 60, Decimal("55.64"))
    # With 60 W more: 5100 / (120 / 0.9 + 25) = 32.21 h.
    assert (second.priority, second.average_w, second.hours) == (2, 120, Decimal("32.21"))


def test_run_time_is_open_without_usable_energy():
    design = designed(supply={"usable_kwh": None})

    assert {tier.hours for tier in design.load_study.runtime_h} == {None}


@pytest.mark.parametrize(
    ("ac_w", "ac_h", "both_h"),
    [
        (None, None, None),
        # 5100 Wh at 1400 W, and at 1500 W and 1400 W together.
        (Decimal(1400), Decimal("3.64"), Decimal("1.76")),
    ],
)
def test_recharge_and_lifetime_cost(ac_w, ac_h, both_h):
    supply = {
        "usable_kwh": Decimal("5.1"),
        "solar_input_w": Decimal(1500),
        "ac_input_w": ac_w,
        "cycle_life": 3500,
        "capacity_after_cycle_life": Decimal("0.8"),
        "price": Decimal(2450),
    }

    study = designed(supply=supply).load_study

    recharge = study.recharge_h
    assert (recharge.solar, recharge.ac, recharge.both) == (Decimal("3.40"), ac_h, both_h)
    # 3500 cycles x 5.1 kWh x 0.9 on average.
    assert study.lifetime_kwh == 16065
    assert study.cost_per_kwh == Decimal("0.1525")


def test_life_support_load_is_warned_about():
    design = designed(a_circuit("Concentrator", 300, life_support=True))

    finding = finding_of(design, "LIFE_SUPPORT")
    assert (finding.severity, finding.where) == ("warning", "/circuits/0/life_support")
    assert "own battery" in finding.remedy


@pytest.mark.parametrize(("continuous", "warned"), [(False, False), (True, True)])
def test_continuous_loads_count_at_125_percent_on_the_feed(continuous, warned):
    circuits = [two_pole(watts=6000, breaker_a=30, continuous=continuous)]

    design = designed(*circuits)

    assert ("FEEDER_OVER_RATING" in codes(design)) is warned
    if warned:
        finding = finding_of(design, "FEEDER_OVER_RATING")
        assert "31.3 A on one leg of a 30 A feed" in finding.message
        assert "within 30 A a leg" in finding.remedy


@pytest.mark.parametrize(("watts", "warned"), [(2100, False), (2101, True)])
@pytest.mark.parametrize("leg", ["L1", "L2"])
def test_each_leg_of_the_feed_takes_half_of_a_two_pole_circuit(watts, warned, leg):
    # 30 A x 120 V is 3600 W: half of 2880 W, and 2100 W and 60 W beside it.
    circuits = [two_pole(watts=2880), a_circuit(watts=watts), a_circuit("Lamp", 60)]
    job = a_job(*circuits)

    found = check_feeder_load(job, describe_feed(job, TABLES), ("L1+L2", leg, leg), TABLES)

    assert bool(found) is warned


def test_continuous_circuit_over_its_breaker_is_warned_about():
    exact = designed(a_circuit(watts=1440, continuous=True))
    over = designed(a_circuit(watts=1441, continuous=True))

    assert "CIRCUIT_OVER_BREAKER" not in codes(exact)
    finding = finding_of(over, "CIRCUIT_OVER_BREAKER")
    assert "continuous load at 125 %" in finding.message
    assert "Check the watts" in finding.remedy


def test_a_supply_that_nothing_draws_on_has_no_hours():
    design = designed(a_circuit(watts=0), supply={"usable_kwh": Decimal(5), "idle_w": Decimal(0)})

    assert [tier.hours for tier in design.load_study.runtime_h] == [None]
