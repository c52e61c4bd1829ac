"""Interlock, transfer subpanel and automatic switch: what each needs and what stands against it."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_jobs import (
    FEEDER,
    TABLES,
    WHIP,
    a_circuit,
    a_job,
    codes,
    designed,
    finding_of,
    two_pole,
)

from estimator.sizing.records import AddedBreaker
from estimator.sizing.shared_neutrals import shared_neutral_pairs
from estimator.sizing.subpanel_count import current_carrying

STRAIGHT = (replace(FEEDER, to="load_centre"),)
NIPPLE = replace(WHIP, wiring_method="EMT")
FIFTY = {"configuration": "14-50"}


def interlocked(*circuits, transfer=None, **changes):
    method = {"method": "interlock", "factory_whip": False, **(transfer or {})}
    return designed(*circuits, transfer=method, runs=STRAIGHT, **changes)


def subpanelled(*circuits, transfer=None, feet="1.5", **changes):
    method = {"method": "subpanel", "factory_whip": False, "rating_a": 60, **(transfer or {})}
    runs = (FEEDER, replace(NIPPLE, length_ft=Decimal(feet)))
    return designed(*circuits, transfer=method, runs=runs, **changes)


def automatic(*circuits, transfer=None, feet="1.5", run=None, **changes):
    method = {
        "method": "automatic_switch", "factory_whip": False, "rating_a": 200, **(transfer or {})
    }  # fmt: skip
    runs = (FEEDER, replace(NIPPLE, length_ft=Decimal(feet), **(run or {})))
    return designed(*circuits, transfer=method, runs=runs, **changes)


def wires(run):
    return [(c.role, c.size, c.count, c.serves) for c in run.conductors]


class TestInterlock:
    def test_back_fed_breaker_has_the_inlet_s_rating_and_takes_two_spaces(self):
        design = interlocked(a_circuit())

        assert design.transfer.breakers == (AddedBreaker("load_centre", 2, 30, "inlet", True),)
        assert (design.transfer.spaces_needed, design.transfer.spaces_used) == (2, 2)

    def test_circuits_stay_where_they_are_without_conductors_of_their_own(self):
        design = interlocked(a_circuit("A", 300), a_circuit("B", 200))

        assert {circuit.position for circuit in design.circuits} == {"as wired"}
        assert {circuit.conductor_size for circuit in design.circuits} == {""}
        assert [run.from_ for run in design.runs] == ["inlet"]
        assert any("not known" in b.text for b in design.circuits[0].because)

    @pytest.mark.parametrize(
        ("free", "severity", "code"),
        [
            (None, "warning", "INTERLOCK_SPACES_UNKNOWN"),
            (0, "error", "INTERLOCK_SPACES_TOO_FEW"),
            (1, "warning", "INTERLOCK_SPACES_TOO_FEW"),
        ],
    )
    def test_too_few_or_unknown_spaces_are_told(self, free, severity, code):
        design = interlocked(a_circuit(), load_centre={"free_spaces": free})

        finding = finding_of(design, code)
        assert (finding.severity, finding.where) == (severity, "/load_centre/free_spaces")

    def test_two_free_spaces_are_enough(self):
        design = interlocked(a_circuit(), load_centre={"free_spaces": 2})

        assert not {code for code in codes(design) if code.startswith("INTERLOCK_SPACES")}

    @pytest.mark.parametrize(("watts", "severity"), [(900, "note"), (901, "warning")])
    def test_worst_case_of_the_legs_is_held_against_the_leg_limit(self, watts, severity):
        design = interlocked(
            a_circuit("A", 900),
            a_circuit("B", watts),
            two_pole("Pump", 1000),
            supply={"continuous_w": Decimal(4600)},
        )

        # 900 + 900 + 500 W = 2300 W, half of 4600 W.
        finding = finding_of(design, "LEGS_AS_WIRED")
        assert finding.severity == severity
        assert "from 11.7 A (balanced, as shown) to 19.2 A" in finding.message

    def test_halves_of_a_shared_neutral_are_never_on_one_leg(self):
        design = interlocked(
            a_circuit("Left", 1000, shared_neutral_with="Right"), a_circuit("Right", 600)
        )

        assert "to 8.3 A (all on one leg)" in finding_of(design, "LEGS_AS_WIRED").message

    def test_breaker_above_the_inlet_is_an_error_and_below_a_warning(self):
        above = interlocked(a_circuit(), transfer={"rating_a": 50})
        below = interlocked(a_circuit(), transfer={"rating_a": 20})

        error = finding_of(above, "BACKFED_BREAKER_OVER_INLET")
        assert error.severity == "error"
        assert "two-pole breaker of 30 A" in error.remedy
        assert above.transfer.breakers[0].rating_a == 30
        assert finding_of(below, "BACKFED_BREAKER_LIMITS_INLET").severity == "warning"
        assert below.transfer.breakers[0].rating_a == 20

    @pytest.mark.parametrize(("bus", "found"), [(30, False), (29, True)])
    def test_breaker_above_the_bus_is_an_error(self, bus, found):
        design = interlocked(a_circuit(), load_centre={"bus_a": bus, "main_a": 20})

        assert ("BACKFED_BREAKER_OVER_BUS" in codes(design)) is found

    def test_120_v_is_refused_even_without_two_pole_circuits(self):
        design = interlocked(a_circuit(), supply={"system": "120", "outlet": "L5-30"})

        finding = finding_of(design, "INTERLOCK_ON_120_V")
        assert finding.severity == "error"
        assert "manual_switch" in finding.remedy
        assert finding_of(design, "ADAPTER_CORD").severity == "error"

    def test_large_circuit_is_noted_and_not_refused(self):
        design = interlocked(two_pole("Oven", 3000, breaker_a=50))

        assert "CIRCUIT_OVER_TRANSFER" not in codes(design)
        assert finding_of(design, "CIRCUIT_LARGER_THAN_FEED").severity == "note"

    def test_interlock_in_a_subpanel_is_warned_about(self):
        design = interlocked(
            a_circuit(), load_centre={"role": "subpanel", "neutral_ground": "separate"}
        )

        assert finding_of(design, "INTERLOCK_IN_SUBPANEL").severity == "warning"

    @pytest.mark.parametrize("protection", ["afci", "gfci", "dual"])
    def test_protected_breakers_keep_protecting(self, protection):
        design = interlocked(a_circuit(protection=protection))

        assert not {code for code in codes(design) if code.startswith("PROTECTION")}


class TestSubpanel:
    @pytest.mark.parametrize(
        ("count", "rating", "made"),
        [(8, 60, (8, 60)), (9, 60, (12, 100)), (13, 60, (16, 125)), (17, 125, (20, 125))],
    )
    def test_smallest_subpanel_that_takes_rating_and_poles_is_chosen(self, count, rating, made):
        circuits = [a_circuit(f"C{n}", 50) for n in range(count)]

        design = subpanelled(*circuits, transfer={"rating_a": rating})

        assert (design.transfer.spaces, design.transfer.rating_a) == made
        assert design.transfer.breakers == (
            AddedBreaker("load_centre", 2, rating, "transfer", False),
        )
        assert all(circuit.position for circuit in design.circuits)

    def test_more_circuits_than_the_largest_subpanel_are_an_error(self):
        design = subpanelled(*[a_circuit(f"C{n}", 50) for n in range(21)])

        finding = finding_of(design, "TRANSFER_TOO_MANY_CIRCUITS")
        assert "interlock" in finding.remedy
        assert len(design.circuits) == 21

    def test_stated_spaces_that_do_not_hold_the_circuits_are_an_error(self):
        design = subpanelled(two_pole(), a_circuit(), transfer={"spaces": 2})

        assert "take 3 spaces" in finding_of(design, "TRANSFER_SPACES_TOO_FEW").message

    def test_nipple_holds_feeder_and_circuits_without_adjustment(self):
        design = subpanelled(a_circuit("Lights", 100), two_pole("Pump", 500))

        run = design.runs[1]
        assert wires(run) == [
            ("ungrounded", "4 AWG", 1, "utility feeder"),
            ("ungrounded", "4 AWG", 1, "utility feeder"),
            ("neutral", "4 AWG", 1, "utility feeder"),
            ("ungrounded", "14 AWG", 1, "Lights"),
            ("neutral", "14 AWG", 1, "Lights"),
            ("ungrounded", "12 AWG", 1, "Pump"),
            ("ungrounded", "12 AWG", 1, "Pump"),
            ("neutral", "12 AWG", 1, "Pump"),
            ("equipment_ground", "10 AWG", 1, "feeder and all circuits"),
        ]
        assert run.fill_limit_percent == 60
        assert "CIRCUITS_BUNDLED" not in codes(design)

    def test_longer_run_is_adjusted_for_all_current_carrying_conductors(self):
        design = subpanelled(a_circuit("Lights", 100), feet="2.1")

        # Feeder 2, circuit 2: 80 %. 60 A at 60 C: 4 AWG 95 x 0.8 = 76, terminal 70 A.
        assert design.runs[1].current_carrying == 4
        assert design.runs[1].ampacity_a == 70
        assert finding_of(design, "CIRCUITS_BUNDLED").severity == "note"

    def test_feeder_only_when_no_circuit_is_named(self):
        job = replace(
            a_job(transfer={"method": "subpanel", "rating_a": 60}, runs=(FEEDER, NIPPLE)),
            circuits=(),
        )

        assert current_carrying(job.circuits, ())[0] == 2

    @pytest.mark.parametrize(
        ("circuits", "count"),
        [
            ([a_circuit()], 4),
            ([two_pole()], 4),
            ([a_circuit("A", 1, shared_neutral_with="B"), a_circuit("B", 1)], 4),
            ([a_circuit("A"), a_circuit("B"), two_pole()], 8),
        ],
    )
    def test_counting(self, circuits, count):
        pairs, _ = shared_neutral_pairs(circuits)

        assert current_carrying(circuits, pairs)[0] == count

    def test_shared_neutral_is_one_conductor_for_both(self):
        design = subpanelled(
            a_circuit("A", 100, shared_neutral_with="B", breaker_a=20), a_circuit("B", 100)
        )

        neutrals = [entry for entry in wires(design.runs[1]) if entry[0] == "neutral"]
        assert neutrals[1:] == [("neutral", "12 AWG", 1, "A and B")]

    def test_ground_follows_the_largest_device(self):
        design = subpanelled(a_circuit(), transfer={"rating_a": 100})

        assert wires(design.runs[1])[-1][1] == "8 AWG"

    @pytest.mark.parametrize(
        ("free", "poles", "severity"),
        [(2, 1, None), (1, 1, "note"), (0, 1, "error"), (0, 2, "note")],
    )
    def test_feeder_breaker_may_take_the_spaces_of_moved_circuits(self, free, poles, severity):
        circuit = two_pole() if poles == 2 else a_circuit()

        design = subpanelled(circuit, load_centre={"free_spaces": free})

        found = [f.severity for f in design.findings if f.code == "FEEDER_BREAKER_SPACES"]
        assert found == ([severity] if severity else [])

    def test_rating_that_is_not_standard_is_an_error(self):
        design = subpanelled(a_circuit(), transfer={"rating_a": 65})

        assert "Use 60 A or 70 A" in finding_of(design, "RATING_NOT_STANDARD").remedy

    def test_feeder_breaker_above_the_bus_is_an_error(self):
        design = subpanelled(a_circuit(), load_centre={"main_a": 50, "bus_a": 50})

        assert finding_of(design, "FEEDER_BREAKER_OVER_BUS").severity == "error"

    @pytest.mark.parametrize(("watts", "found"), [(7200, False), (7201, True)])
    def test_circuits_over_the_feeder_breaker_are_warned_about(self, watts, found):
        design = subpanelled(*[two_pole(f"P{n}", watts, breaker_a=60) for n in range(2)])

        # Two of 7200 W put 7200 W on each leg, which is 60 A.
        assert ("SUBPANEL_FEEDER_OVERLOADED" in codes(design)) is found

    def test_circuit_over_the_feeder_breaker_is_an_error(self):
        fitting = subpanelled(two_pole(breaker_a=60))
        over = subpanelled(two_pole(breaker_a=60), transfer={"rating_a": 50})

        assert "CIRCUIT_OVER_TRANSFER" not in codes(fitting)
        assert "fed at 50 A" in finding_of(over, "CIRCUIT_OVER_TRANSFER").message

    def test_protection_moves_with_the_circuit(self):
        design = subpanelled(a_circuit(protection="afci"))

        assert (
            "listed for the subpanel" in finding_of(design, "PROTECTION_MOVES_WITH_CIRCUIT").remedy
        )

    @pytest.mark.parametrize(("feet", "found"), [("6", False), ("6.1", True)])
    def test_circuits_lengthened_by_more_than_six_feet_need_arc_fault_protection(self, feet, found):
        design = subpanelled(a_circuit(), feet=feet)

        assert ("AFCI_EXTENSION" in codes(design)) is found

    def test_cable_cannot_hold_the_run(self):
        design = designed(
            a_circuit(),
            transfer={"method": "subpanel", "rating_a": 60},
            runs=(FEEDER, replace(WHIP, wiring_method="NM-B")),
        )

        finding = finding_of(design, "SUBPANEL_RUN_IN_CABLE")
        assert finding.where == "/runs/1/wiring_method"
        assert "Use a raceway" in finding.remedy
        assert design.runs[1].conductors == ()

    def test_long_run_is_raised_for_voltage_drop_with_its_ground(self):
        short = subpanelled(a_circuit(), feet="10")
        long = subpanelled(a_circuit(), feet="200")

        mils = TABLES.circular_mils
        first, raised = (wires(design.runs[1]) for design in (short, long))
        assert mils[raised[0][1]] > mils[first[0][1]]
        assert mils[raised[-1][1]] > mils[first[-1][1]]
        assert long.runs[1].voltage_drop_percent <= 3

    def test_drop_that_no_size_holds_is_told(self):
        design = subpanelled(a_circuit(), feet="2000", voltage_drop_target_percent=Decimal("0.1"))

        found = [f for f in design.findings if f.code == "VOLTAGE_DROP_NOT_REACHED"]
        assert any("utility feeder" in finding.message for finding in found)


class TestAutomaticSwitch:
    def test_service_panel_has_one_way_behind_the_switch(self):
        design = automatic(a_circuit())

        # 200 A at 75 C: 3/0 AWG, ground 6 AWG.
        assert wires(design.runs[1]) == [
            ("ungrounded", "3/0 AWG", 1, "switch to load centre"),
            ("ungrounded", "3/0 AWG", 1, "switch to load centre"),
            ("neutral", "3/0 AWG", 1, "switch to load centre"),
            ("equipment_ground", "6 AWG", 1, "switch to load centre"),
        ]
        assert {"LOAD_CENTRE_BECOMES_SUBPANEL", "UTILITY_SIDE_NOT_DESIGNED"} <= codes(design)

    def test_feeder_of_a_subpanel_is_led_to_the_switch_and_back(self):
        design = automatic(
            a_circuit(),
            feet="4",
            load_centre={"role": "subpanel", "neutral_ground": "separate"},
        )

        # Four hots over 24 in: 80 %. 225 x 0.8 = 180 A < 200; 4/0 AWG 260 x 0.8 = 208 A.
        assert design.runs[1].current_carrying == 4
        assert wires(design.runs[1])[0] == ("ungrounded", "4/0 AWG", 1, "switch to load centre")
        assert [entry[3] for entry in wires(design.runs[1])].count("utility to switch") == 3
        assert "FEEDER_CUT_INTO" in codes(design)

    @pytest.mark.parametrize(("rating", "found"), [(200, False), (199, True)])
    def test_switch_below_the_main_is_an_error(self, rating, found):
        design = automatic(a_circuit(), transfer={"rating_a": rating})

        assert ("AUTOMATIC_SWITCH_BELOW_MAIN" in codes(design)) is found
        if found:
            assert (
                "a switch of 200 A or more"
                in finding_of(design, "AUTOMATIC_SWITCH_BELOW_MAIN").remedy
            )

    @pytest.mark.parametrize(("managed", "severity"), [(False, "warning"), (True, "note")])
    def test_everything_is_transferred_unless_managed(self, managed, severity):
        design = automatic(a_circuit(), transfer={"load_management": managed})

        assert finding_of(design, "AUTOMATIC_TRANSFERS_ALL").severity == severity

    @pytest.mark.parametrize(("portable", "found"), [(True, True), (False, False)])
    def test_portable_supply_gains_nothing_by_it(self, portable, found):
        design = automatic(a_circuit(), supply={"portable": portable})

        assert ("AUTOMATIC_SWITCH_WITH_CORD" in codes(design)) is found

    def test_branch_circuits_are_not_lengthened(self):
        design = automatic(a_circuit(), feet="20")

        assert "AFCI_EXTENSION" not in codes(design)

    def test_one_way_may_be_a_cable_and_two_may_not(self):
        sub = {"role": "subpanel", "neutral_ground": "separate", "main_a": 60, "bus_a": 100}
        cable = {"wiring_method": "SER", "conductor_material": "cu"}
        rating = {"rating_a": 60}

        one = automatic(
            a_circuit(), transfer=rating, run=cable, load_centre={"main_a": 60, "bus_a": 100}
        )
        two = automatic(a_circuit(), transfer=rating, run=cable, load_centre=sub)

        assert one.runs[1].conductors
        assert two.runs[1].conductors == ()
        assert "Use a raceway" in finding_of(two, "AUTOMATIC_RUN_IN_CABLE").remedy

    def test_unknown_supply_rating_cites_the_rule_for_automatic_transfer(self):
        design = automatic(a_circuit(), supply={"continuous_w": None, "surge_w": None})

        assert finding_of(design, "SUPPLY_RATING_UNKNOWN").source == "nec_capacity_automatic"

    def test_drop_that_no_size_holds_is_told(self):
        design = automatic(a_circuit(), feet="2000", voltage_drop_target_percent=Decimal("0.1"))

        assert any(
            f.code == "VOLTAGE_DROP_NOT_REACHED" and f.where == "/runs/1" for f in design.findings
        )


@pytest.mark.parametrize("method", ["interlock", "automatic_switch"])
def test_stated_positions_are_said_to_change_nothing_where_circuits_stay(method):
    design = designed(a_circuit(), transfer={"method": method, "spaces": 6, "rating_a": 200})

    assert finding_of(design, "SPACES_NOT_USED").severity == "note"


@pytest.mark.parametrize("method", ["interlock", "subpanel", "automatic_switch"])
def test_factory_whip_is_said_to_be_for_manual_switches_only(method):
    design = designed(a_circuit(), transfer={"method": method, "factory_whip": True})

    assert finding_of(design, "NO_FACTORY_WHIP").severity == "note"


@pytest.mark.parametrize("method", ["manual_switch", "subpanel", "automatic_switch"])
def test_both_runs_are_missed_when_there_are_none(method):
    design = designed(a_circuit(), transfer={"method": method, "rating_a": 200}, runs=())

    found = [f.remedy for f in design.findings if f.code == "RUN_MISSING"]
    assert len(found) == 2
    assert design.load_study.running_w == 100


def test_interlock_misses_its_one_run():
    design = designed(a_circuit(), transfer={"method": "interlock"}, runs=())

    assert "from inlet to load_centre" in finding_of(design, "RUN_MISSING").remedy


@pytest.mark.parametrize(
    ("amps", "remedy"),
    [(55, "Use 50 A or 60 A."), (31, "Use 30 A or 35 A."), (399, "Use 350 A or 400 A.")],
)
def test_standard_ratings_next_to_one_that_is_none_are_named(amps, remedy):
    design = designed(transfer={"method": "subpanel", "rating_a": amps})

    assert finding_of(design, "RATING_NOT_STANDARD").remedy == remedy
