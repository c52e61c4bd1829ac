"""Panel work under the home improvement credit: worked examples and each limit."""

import csv
import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from credits_samples import BATTERY, TODAY, facts

from estimator.credits.assess import assess_credits
from estimator.credits.panel_amounts import improvement_year, terms_on
from estimator.credits.panel_credit import PanelClaim, assess_panel
from estimator.credits.panel_rules_file import load_panel_rules, read_panel_rules
from estimator.credits.programme_facts import Told, read_told
from estimator.credits.records import CreditAnswer
from estimator.credits.rules_file import load_credit_rules
from estimator.published.dated import RuleError
from estimator.published.sources import load_sources
from estimator.published.tables import TableError, package_text

CASES = Path(__file__).parent / "cases" / "federal_panel_credit.csv"
SOUND = package_text("estimator.credits", "rules/federal_home_improvement_panel.toml")
LINES = package_text("estimator.credits", "rules/form_5695_panel_lines.csv")
Case = dict[str, str]
ALL_TOLD = {"other_improvement_credits": Decimal(0)}


def read_cases() -> list[Case]:
    with CASES.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def claim(told: dict[str, Told] | None = None, **changes: Any) -> PanelClaim:
    asked = {"panel_cost": Decimal(2000), "panel_amps": 200, "panel_enables": ("heat_pump",)}
    return assess_panel(
        facts(**{**asked, **changes}),
        ALL_TOLD if told is None else told,
        load_panel_rules(),
        load_credit_rules(),
        TODAY,
    )


def both(told: dict[str, Told] | None = None, **changes: Any) -> tuple[CreditAnswer, ...]:
    asked = {"panel_cost": Decimal(2000), "panel_amps": 200, "panel_enables": ("heat_pump",)}
    return assess_credits(
        facts(**{**asked, **changes}),
        (BATTERY,),
        load_credit_rules(),
        TODAY,
        told=ALL_TOLD if told is None else told,
    )


def on(day: date) -> dict[str, date]:
    return {"completed_on": day, "placed_in_service_on": day}


def test_every_published_row_is_there() -> None:
    names = [case["id"] for case in read_cases()]

    assert names == ["P12", "P13", "P14", "D22", "D23", "D24", "D25"]


@pytest.mark.parametrize(
    "case", read_cases(), ids=lambda case: f"{case['id']}: {case['source']}".replace("/", "-")
)
def test_a_worked_example_comes_out_as_published(case: Case) -> None:
    day = date.fromisoformat(case["completed_on"])
    told = read_told(
        [("other_improvement_credits", case["other_credits"]),
         ("heat_pump_cost", case["heat_pump_cost"])], ()
    )  # fmt: skip

    found = claim(
        dict(told),
        panel_cost=Decimal(case["panel_cost"]),
        panel_amps=int(case["panel_amps"]),
        panel_enables=tuple(case["enables"].split()),
        tax_limit=Decimal(case["tax_limit"]),
        **on(day),
    )

    # The examples count the whole credit of the year; rows without a panel only its arithmetic.
    assert found.hopeful.total == Decimal(case["total"])
    assert found.hopeful.allowed == Decimal(case["allowed"])
    if case["status"]:
        answer = found.answer
        assert answer.status == case["status"]
        assert list(answer.reason_codes) == case["reason_codes"].split()
        assert answer.tax_year == int(case["tax_year"])
        assert answer.carryforward == 0
        assert answer.rate == (Decimal(case["rate"]) if answer.status == "eligible" else 0)


@pytest.mark.parametrize(
    ("day", "status", "codes"),
    [
        (date(2022, 12, 31), "not_eligible", ("BEFORE_2023_PANEL",)),
        (date(2023, 1, 1), "eligible", ()),
        (date(2025, 12, 31), "eligible", ()),
        (date(2026, 1, 1), "not_eligible", ("ENDED_25C",)),
    ],
)
def test_panel_work_counts_from_2023_to_2025(
    day: date, status: str, codes: tuple[str, ...]
) -> None:
    answer = claim(**on(day)).answer

    assert (answer.status, answer.reason_codes) == (status, codes)
    assert answer.amount == answer.amount_if_uncertain == (600 if status == "eligible" else 0)
    assert answer.because
    assert answer.lines[0].authority


@pytest.mark.parametrize(
    ("completed", "in_service", "status", "codes", "year"),
    [
        (date(2025, 12, 30), date(2026, 1, 2), "not_eligible", ("ENDED_25C",), 2025),
        (date(2026, 1, 2), date(2025, 12, 30), "not_eligible", ("ENDED_25C",), 2026),
        (date(2022, 12, 30), date(2023, 1, 2), "uncertain", ("PANEL_SPLIT_YEAR",), 2022),
        (date(2024, 12, 30), date(2025, 1, 2), "eligible", (), 2024),
        (date(2024, 12, 30), None, "eligible", (), 2024),
        (None, date(2024, 5, 1), "uncertain", ("PANEL_DAY_UNKNOWN",), None),
    ],
)
def test_completion_gives_the_year_and_placing_in_service_the_end(
    completed: date | None,
    in_service: date | None,
    status: str,
    codes: tuple[str, ...],
    year: int | None,
) -> None:
    answer = claim(completed_on=completed, placed_in_service_on=in_service).answer

    assert (answer.status, answer.reason_codes, answer.tax_year) == (status, codes, year)


@pytest.mark.parametrize(("amps", "status"), [(199, "not_eligible"), (200, "eligible")])
def test_two_hundred_amperes_are_asked_for(amps: int, status: str) -> None:
    assert claim(panel_amps=amps).answer.status == status


@pytest.mark.parametrize(
    ("enables", "status", "codes"),
    [
        (("heat_pump",), "eligible", ()),
        (("envelope",), "eligible", ()),
        (("battery", "heat_pump"), "eligible", ()),
        (("battery",), "not_eligible", ("PANEL_ONLY_FOR_BATTERY",)),
        (("generator", "vehicle_charger", "solar"), "not_eligible", ("PANEL_ONLY_FOR_BATTERY",)),
        (("hot_tub",), "uncertain", ("PANEL_ENABLES_UNKNOWN",)),
        (("battery", "hot_tub"), "uncertain", ("PANEL_ENABLES_UNKNOWN",)),
        ((), "uncertain", ("PANEL_ENABLES_UNKNOWN",)),
    ],
)
def test_the_panel_has_to_make_another_improvement_possible(
    enables: tuple[str, ...], status: str, codes: tuple[str, ...]
) -> None:
    answer = claim(panel_enables=enables).answer

    assert (answer.status, answer.reason_codes) == (status, codes)


@pytest.mark.parametrize(
    ("cost", "amount"),
    [("1999.99", "600.00"), ("2000.01", "600.00"), ("1000", "300.00"), ("0.02", "0.01")],
)
def test_the_item_is_a_share_of_the_cost_up_to_its_cap(cost: str, amount: str) -> None:
    assert claim(panel_cost=Decimal(cost)).answer.amount == Decimal(amount)


@pytest.mark.parametrize(
    ("others", "amount"),
    [("599.99", "600.00"), ("600", "600.00"), ("600.01", "599.99"), ("1200", "0"), ("2000", "0")],
)
def test_other_items_come_first_under_the_yearly_cap(others: str, amount: str) -> None:
    answer = claim({"other_improvement_credits": Decimal(others)}).answer

    assert (answer.status, answer.amount) == ("eligible", Decimal(amount))
    assert answer.tentative == answer.amount


def test_without_the_other_items_the_room_under_the_cap_is_open() -> None:
    answer = claim({}).answer

    assert (answer.status, answer.reason_codes) == ("uncertain", ("OTHER_ITEMS_UNKNOWN",))
    assert (answer.amount, answer.amount_if_uncertain, answer.base) == (0, 600, 0)
    (point,) = answer.open_points
    assert (point.amount_against, point.amount_for) == (0, 600)
    assert point.for_authority == point.against_authority == "26 USC 25C, (b)"
    bucket = {
        line.line: line.amount_if_uncertain
        for line in claim({}, **on(date(2025, 5, 1))).answer.form_lines
    }
    assert bucket["27"] == bucket["28"] == "not known"


@pytest.mark.parametrize(
    ("limit", "amount"), [("0", "0"), ("599.99", "599.99"), ("600.01", "600"), (None, "600")]
)
def test_what_the_tax_does_not_take_up_is_lost(limit: str | None, amount: str) -> None:
    answer = claim(tax_limit=None if limit is None else Decimal(limit)).answer

    assert (answer.amount, answer.carryforward) == (Decimal(amount), 0)


def test_heat_pumps_take_from_the_tax_before_the_panel() -> None:
    told: dict[str, Told] = {**ALL_TOLD, "heat_pump_cost": Decimal(10000)}

    assert claim(told, tax_limit=Decimal(2100)).answer.amount == 100
    assert claim(told, tax_limit=Decimal(1900)).answer.amount == 0


@pytest.mark.parametrize(
    ("share", "base"), [("0.80", "2000.00"), ("0.79", "1580.00"), ("1", "2000.00")]
)
def test_the_nonbusiness_share_counts_below_eight_tenths(share: str, base: str) -> None:
    answer = claim(nonbusiness_share=Decimal(share)).answer

    assert answer.base == Decimal(base)
    assert any("nonbusiness share" in one.text for one in answer.because) == (share == "0.79")


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"residence": "landlord"}, "LANDLORD"),
        ({"region": "CA-ON"}, "OUTSIDE_US"),
        ({"nonbusiness_share": Decimal(0)}, "BUSINESS_ONLY"),
    ],
)
def test_home_and_place_are_judged_as_for_the_battery(changes: dict[str, Any], code: str) -> None:
    answer = claim(**changes).answer

    assert (answer.status, answer.reason_codes) == ("not_eligible", (code,))
    assert answer.evidence == answer.questions == answer.form_lines == answer.open_points == ()


def test_the_panel_takes_from_the_tax_before_the_battery_and_the_battery_carries_on() -> None:
    battery, panel = both(tax_limit=Decimal(1000))

    assert (panel.amount, battery.amount, battery.carryforward) == (600, 400, 2600)
    assert any("takes from the tax first" in one.text for one in battery.because)


def test_a_panel_that_is_not_sure_takes_nothing_from_the_battery() -> None:
    battery, panel = both({}, tax_limit=Decimal(1000))

    assert (panel.amount, battery.amount) == (0, 1000)


def test_without_panel_work_nothing_is_said_of_it() -> None:
    assert len(both(panel_cost=Decimal(0))) == 1


def test_the_form_of_2025_asks_for_the_makers_number() -> None:
    answer = claim(**on(date(2025, 6, 1))).answer

    assert [line.line for line in answer.form_lines] == ["25a-25b", "25c", "25d", "25e", "27", "28"]
    assert {line.line: line.amount for line in answer.form_lines}["25e"] == "600.00"
    assert any("maker's number" in one for one in answer.questions)
    assert not any("maker's number" in one for one in claim().answer.questions)


def test_arithmetic_of_a_year_adds_up() -> None:
    terms = terms_on(date(2024, 1, 1), load_panel_rules())

    year = improvement_year(Decimal(1500), Decimal(900), Decimal(8000), Decimal(2500), terms)

    assert (year.panel_item, year.bucket_sum, year.bucket, year.panel) == (450, 1350, 1200, 300)
    assert (year.heat_pumps, year.total, year.allowed) == (2000, 3200, 2500)


@pytest.mark.parametrize(
    ("find", "put", "told"),
    [
        ('value = "0.30"', 'value = "30"', "rate, entry 1: value 30 is not within 0 and 1"),
        (
            'value = "600"',
            'value = "-6"',
            "item_cap, entry 1: value -6 is not within 0 and Infinity",
        ),
        (
            'value = "600"',
            "value = 600",
            "item_cap, entry 1: value must be a number written as text",
        ),
        (
            "[reason.ENDED_25C]",
            "[reason.ENDED]",
            "reason.ENDED_25C is missing: the assessment asks for it",
        ),
        (
            "[question.TAX_LIMIT]",
            "[question.LIMIT]",
            "question.TAX_LIMIT is missing: the assessment asks for it",
        ),
        (
            "[open_point.PANEL_SPLIT_YEAR]",
            "[open_point.SPLIT]",
            "open_point.PANEL_SPLIT_YEAR is missing: the assessment asks for it",
        ),
        ("counts = true", 'counts = "yes"', "enables.heat_pump: counts must be true or false"),
        (
            'verdict = "uncertain"',
            'verdict = "open"',
            "reason.PANEL_DAY_UNKNOWN: verdict 'open' is not one of eligible, not_eligible, "
            "uncertain",
        ),
        (
            'label = "Heat pump"',
            'label = "Heat pump"\nname = "x"',
            "enables.heat_pump: unknown field name",
        ),
        ("checked_on = 2026-11-25\n# Years", "# Years", "field checked_on is missing"),
        (
            "[[item_cap]]\nfrom = 2023-01-01",
            "[[item_cap]]\nfrom = 2023-01-02",
            "item_cap: has no value from 2023-01-01",
        ),
        (
            '[[evidence]]\ntext = "Invoice of the panel',
            '[[evidence]]\nwords = "Invoice of the panel',
            "evidence, entry 1: field text is missing",
        ),
        (
            'source = "usc_25c_h"',
            'source = "hearsay"',
            "in_force, entry 1: 'hearsay' is not a key of sources.toml",
        ),
        (
            'source = "pl_119_21_70505"',
            'source = "hearsay"',
            "reason.ENDED_25C: 'hearsay' is not a key of sources.toml",
        ),
        ("[[heat_pump_cap]]", "[[heat_cap]]", "field heat_pump_cap is missing"),
        ("[[in_force]]", "[[force]]", "field in_force is missing"),
        (
            'settled_by = "The invoice',
            'settled = "The invoice',
            "open_point.PANEL_ENABLES_UNKNOWN: field settled_by is missing",
        ),
    ],
)
def test_broken_rules_are_refused_with_the_place(find: str, put: str, told: str) -> None:
    assert find in SOUND

    with pytest.raises(RuleError) as caught:
        read_panel_rules(SOUND.replace(find, put, 1), LINES, load_sources(), name="p.toml")

    assert f"p.toml: {told}" in str(caught.value).splitlines()


def test_rules_that_are_not_toml_and_broken_form_lines_are_refused() -> None:
    with pytest.raises(RuleError, match=r"^p\.toml: "):
        read_panel_rules("rate =", LINES, load_sources(), name="p.toml")
    with pytest.raises(TableError, match=r"panel form lines.*column item: 'panel' is not one of"):
        broken = LINES.replace("25a,cost,", "25a,panel,", 1)
        read_panel_rules(SOUND, broken, load_sources(), name="p.toml")


def test_the_rules_are_read_once_and_name_what_they_need() -> None:
    rules = load_panel_rules()

    assert rules is load_panel_rules()
    assert (rules.first_day, rules.last_day) == (date(2023, 1, 1), date(2025, 12, 31))
    assert set(tomllib.loads(SOUND)["enables"]) == set(rules.enables)
