"""Defaults: all listed, each with a reason, and none where the user spoke."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from job_documents import four_facts, leaf_paths, with_value

from estimator.finding import Assumption
from estimator.job.defaults import DefaultsError, load_defaults, parse_defaults
from estimator.job.describe import JobDescription, describe_job
from estimator.job.schema import JobSchema
from estimator.published.sources import load_sources

TODAY = date(2026, 3, 2)


def described(document: object) -> tuple[JobDescription, dict[str, Assumption]]:
    description = describe_job(document, TODAY)
    return description, {item.field: item for item in description.assumptions}


def test_four_facts_list_every_other_field_as_an_assumption() -> None:
    _, assumptions = described(four_facts())

    starred = {
        "/".join("*" if step.isdigit() else step for step in field.split("/"))
        for field in assumptions
    }
    told = {
        "/circuits/*/name",
        "/circuits/*/breaker_a",
        "/circuits/*/running_w",
        "/circuits/*/starting_w",
        "/mounting_surface",
        "/run_length_ft",
        "/inlet/configuration",
    }
    # Without direct loads and stock their fields have no values; wage is the other way to
    # say what the hourly rate says.
    apart = {"/labour/wage"}
    expected = {
        path
        for path in leaf_paths(JobSchema()) - told - apart
        if not path.startswith(("/direct_loads/", "/stock/"))
    }
    assert starred == expected | {"/direct_loads", "/stock"}


def test_each_assumption_has_value_reason_and_known_source() -> None:
    description, _ = described(four_facts())

    for assumption in description.assumptions:
        assert assumption.value
        assert assumption.because
        assert assumption.source in load_sources()


def test_an_assumption_stands_once() -> None:
    description, by_field = described(four_facts())

    assert len(by_field) == len(description.assumptions)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("/name", "House backup"),
        ("/site/region", "US"),
        ("/site/code_edition", "2023"),
        ("/site/indoor_ambient_c", "30"),
        ("/site/outdoor_ambient_c", "40"),
        ("/supply/kind", "power_station"),
        ("/supply/portable", "true"),
        ("/supply/system", "120/240"),
        ("/supply/continuous_w", "not known"),
        ("/supply/leg_limit_w", "not known"),
        ("/supply/outlet", "L14-30"),
        ("/supply/efficiency", "0.9"),
        ("/cord_length_ft", "25"),
        ("/inlet/place", "outdoor"),
        ("/inlet/surface", "concrete_block"),
        ("/transfer/method", "manual_switch"),
        ("/transfer/spaces", "chosen to fit the circuits"),
        ("/transfer/rating_a", "30"),
        ("/transfer/whip_length_ft", "1.5"),
        ("/load_centre/neutral_ground", "bonded"),
        ("/runs/0/from", "inlet"),
        ("/runs/0/length_ft", "18"),
        ("/runs/0/wiring_method", "EMT"),
        ("/runs/0/bends_deg", "90, 90"),
        ("/runs/0/exposure", "wet"),
        ("/runs/0/ambient_c", "40"),
        ("/runs/0/temperature_change_c", "55"),
        ("/runs/0/wall_penetrations", "1"),
        ("/runs/1/to", "load_centre"),
        ("/runs/1/length_ft", "1.5"),
        ("/runs/1/wiring_method", "FMC"),
        ("/runs/1/bends_deg", "none"),
        ("/runs/1/ambient_c", "30"),
        ("/runs/1/temperature_change_c", "20"),
        ("/runs/1/wall_penetrations", "0"),
        ("/voltage_drop_target_percent", "3"),
        ("/labour/hourly_rate", "110"),
        ("/terms/taxable", "materials"),
        ("/terms/quoted_on", "2026-03-02"),
        ("/credit_claim/completed_on", "2026-03-02"),
        ("/credit_claim/permanently_wired", "false"),
        ("/circuits/0/conductor_size", "12 AWG"),
        ("/circuits/0/poles", "1"),
    ],
)
def test_the_default_of_a_field(field: str, value: str) -> None:
    _, assumptions = described(four_facts())

    assert assumptions[field].value == value


def test_two_runs_are_made_of_four_facts() -> None:
    description, _ = described(four_facts())

    first, second = description.job.runs
    assert (first.from_, first.to, first.length_ft) == ("inlet", "transfer", Decimal(18))
    assert (second.from_, second.to) == ("transfer", "load_centre")
    assert first.bends_deg == (Decimal(90), Decimal(90))


class TestDerived:
    @pytest.mark.parametrize(
        ("breaker_a", "poles", "watts"), [(15, 1, 1440), (20, 1, 1920), (30, 2, 5760)]
    )
    def test_unknown_power_is_80_percent_of_the_breaker(
        self, breaker_a: int, poles: int, watts: int
    ) -> None:
        circuit = {"name": "A", "breaker_a": breaker_a, "poles": poles}

        description, assumptions = described(four_facts() | {"circuits": [circuit]})

        made = description.job.circuits[0]
        assert made.running_w == made.starting_w == watts
        assert {"/circuits/0/running_w", "/circuits/0/starting_w"} <= set(assumptions)

    def test_unknown_running_power_is_never_more_than_the_start(self) -> None:
        circuit = {"name": "A", "breaker_a": 20, "starting_w": 900}

        description, _ = described(four_facts() | {"circuits": [circuit]})

        assert description.job.circuits[0].running_w == Decimal(900)

    @pytest.mark.parametrize(
        ("breaker_a", "copper", "aluminium"),
        [
            (15, "14 AWG", "12 AWG"),
            (20, "12 AWG", "10 AWG"),
            (30, "10 AWG", "8 AWG"),
            (40, "8 AWG", "6 AWG"),
            (50, "6 AWG", "4 AWG"),
            (60, "4 AWG", "3 AWG"),
        ],
    )
    def test_the_wire_in_the_wall_is_the_smallest_for_the_breaker(
        self, breaker_a: int, copper: str, aluminium: str
    ) -> None:
        circuits = [
            {"name": "A", "breaker_a": breaker_a},
            {"name": "B", "breaker_a": breaker_a, "conductor_material": "al"},
        ]

        description, _ = described(four_facts() | {"circuits": circuits})

        sizes = [circuit.conductor_size for circuit in description.job.circuits]
        assert sizes == [copper, aluminium]

    def test_the_leg_limit_is_half_of_a_split_phase_supply(self) -> None:
        description, assumptions = described(with_value("/supply/continuous_w", 5000))

        assert description.job.supply.leg_limit_w == Decimal(2500)
        assert assumptions["/supply/leg_limit_w"].value == "2500"

    def test_one_voltage_has_no_leg_limit_and_another_outlet(self) -> None:
        supply = {"system": 120, "continuous_w": 3000}

        description, assumptions = described(with_value("/supply", supply))

        assert description.job.supply.leg_limit_w is None
        assert assumptions["/supply/leg_limit_w"].value == "no second leg"
        assert description.job.supply.outlet == "L5-30"

    def test_a_120_volt_inlet_means_a_120_volt_supply(self) -> None:
        description, _ = described(four_facts() | {"inlet": "TT-30"})

        assert description.job.supply.system == "120"
        assert description.job.supply.outlet == "TT-30"

    def test_a_subpanel_has_separate_ground(self) -> None:
        description, _ = described(with_value("/load_centre/role", "subpanel"))

        assert description.job.load_centre.neutral_ground == "separate"

    @pytest.mark.parametrize(
        ("supply", "portable", "wired"),
        [
            ({}, True, False),
            ({"kind": "generator"}, True, False),
            ({"kind": "battery"}, False, True),
            ({"portable": False}, False, True),
        ],
    )
    def test_what_cannot_be_moved_is_wired(
        self, supply: dict[str, Any], portable: bool, wired: bool
    ) -> None:
        job = described(with_value("/supply", supply))[0].job

        assert (job.supply.portable, job.credit_claim.permanently_wired) == (portable, wired)

    @pytest.mark.parametrize("silence", [{}, {"shared_neutral_with": None}])
    def test_a_shared_neutral_is_known_to_both(self, silence: dict[str, None]) -> None:
        circuits = [
            {"name": "A", "breaker_a": 20, "shared_neutral_with": "B"},
            {"name": "B", "breaker_a": 20} | silence,
        ]

        description, assumptions = described(four_facts() | {"circuits": circuits})

        assert [c.shared_neutral_with for c in description.job.circuits] == ["B", "A"]
        assert assumptions["/circuits/1/shared_neutral_with"].source == "job_description"

    def test_a_flush_cabinet_has_its_whip_in_the_wall(self) -> None:
        runs = described(with_value("/transfer/mounting", "flush"))[0].job.runs

        assert [run.finished_wall for run in runs] == [False, True]

    def test_the_whip_is_as_long_as_its_run(self) -> None:
        runs = [
            {"from": "inlet", "to": "transfer", "length_ft": 18},
            {"from": "transfer", "to": "load_centre", "length_ft": 3},
        ]

        job = described(with_value("/runs", runs))[0].job

        assert job.transfer.whip_length_ft == Decimal(3)

    def test_a_missing_way_to_the_load_centre_is_added(self) -> None:
        runs = [{"from": "inlet", "to": "transfer", "length_ft": 18, "place": "indoor"}]

        job = described(with_value("/runs", runs))[0].job

        assert [(run.from_, run.to) for run in job.runs] == [
            ("inlet", "transfer"),
            ("transfer", "load_centre"),
        ]
        assert job.runs[0].exposure == "dry"
        assert job.runs[0].ambient_c == Decimal(30)

    def test_an_interlock_gets_one_run_to_the_load_centre(self) -> None:
        (run,) = described(with_value("/transfer/method", "interlock"))[0].job.runs

        assert (run.from_, run.to, run.length_ft) == ("inlet", "load_centre", Decimal(18))


class TestCreditDay:
    def test_without_any_credit_facts_it_is_the_day_of_the_quote(self) -> None:
        description, assumptions = described(with_value("/terms/quoted_on", "2025-10-01"))

        assert description.job.credit_claim.completed_on == date(2025, 10, 1)
        assert "cannot be finished earlier" in assumptions["/credit_claim/completed_on"].because

    def test_with_other_credit_facts_an_untold_day_stays_untold(self) -> None:
        description, assumptions = described(with_value("/credit_claim/paid_on", "2025-10-15"))

        assert description.job.credit_claim.completed_on is None
        assert assumptions["/credit_claim/completed_on"].value == "not told"


class TestRates:
    def test_a_wage_needs_no_rate(self) -> None:
        description, assumptions = described(with_value("/labour/wage", "34.00"))

        assert description.job.labour.hourly_rate is None
        assert description.job.labour.wage == Decimal("34.00")
        assert "/labour/hourly_rate" not in assumptions

    def test_null_is_no_rate(self) -> None:
        nothing = {"hourly_rate": None, "wage": None}

        description, assumptions = described(with_value("/labour", nothing))

        assert description.job.labour.hourly_rate == Decimal("110.00")
        assert "/labour/hourly_rate" in assumptions

    def test_a_rate_goes_before_a_wage_and_says_so(self) -> None:
        both = {"hourly_rate": "95.00", "wage": "34.00"}

        description, _ = described(with_value("/labour", both))

        assert description.job.labour.hourly_rate == Decimal("95.00")
        assert description.job.labour.wage is None
        (finding,) = description.findings
        assert (finding.code, finding.where) == ("RATE_BEFORE_WAGE", "/labour/wage")

    def test_a_told_margin_leaves_no_markup_to_assume(self) -> None:
        description, assumptions = described(with_value("/terms/margin_percent", 20))

        assert description.job.terms.markup_percent is None
        assert "/terms/markup_percent" not in assumptions


def test_null_that_may_stand_is_the_users_word() -> None:
    description, assumptions = described(with_value("/supply/continuous_w", None))

    assert description.job.supply.continuous_w is None
    assert "/supply/continuous_w" not in assumptions


class TestDefaultsFile:
    def test_the_packages_own_is_sound(self) -> None:
        assert load_defaults()["/cord_length_ft"].value == Decimal(25)

    @pytest.mark.parametrize(
        ("entry", "fault"),
        [
            ('["/cord_length_ft"]\nvalue = -1\nbecause = "x"\nsource = "memory"', "out of range"),
            ('["/cord"]\nvalue = 1\nbecause = "x"\nsource = "memory"', "is not a field"),
            ('["/cord_length_ft"]\nvalue = 1\nsource = "memory"', "because is missing"),
            ('["/cord_length_ft"]\nvalue = 1\nbecause = "x"', "source is missing"),
            ('["/cord_length_ft"]\nbecause = "x"\nsource = "hearsay"', "not a key of sources"),
            ('["/name"]\nwhy = "x"\nbecause = "x"\nsource = "memory"', "unknown field why"),
        ],
    )
    def test_a_broken_entry_is_named(self, entry: str, fault: str) -> None:
        with pytest.raises(DefaultsError, match=fault):
            parse_defaults(entry, load_sources())
