"""A new year and a new programme are data: no line of code changes."""

import re
from datetime import date
from decimal import Decimal

from credits_golden import SAMPLES
from credits_samples import BATTERY, facts

from estimator.credits.assess import assess_credits
from estimator.credits.programme_file import read_programmes
from estimator.credits.rules_file import load_credit_rules, read_credit_rules
from estimator.credits.year_table import credits_by_year
from estimator.published.sources import load_sources
from estimator.published.tables import package_text

RULES = package_text("estimator.credits", "rules/federal_residential_clean_energy.toml")
LINES = package_text("estimator.credits", "rules/form_5695_lines.csv")
TODAY = date(2027, 6, 1)


def test_a_year_of_data_brings_the_credit_back_with_its_rate_and_its_form() -> None:
    # As if a law let the credit go on in 2027 at 22 percent.
    renewed = """
[[in_force]]
from = 2026-01-01
until = 2027-12-31
value = "1"
source = "invented"
checked_on = 2027-01-02

[[rate]]
from = 2027-01-01
value = "0.22"
source = "invented"
checked_on = 2027-01-02
"""
    text = re.sub(r"checked_through_year = \d+", "checked_through_year = 2027", RULES) + renewed
    lines = LINES + "2027,7,credit,Credit of the year,seen,form_5695\n"
    sources = {**load_sources(), "invented": load_sources()["memory"]}

    rules = read_credit_rules(text, lines, sources, name="with 2027")

    day = date(2027, 5, 1)
    told = facts(completed_on=day, placed_in_service_on=day)
    (answer,) = assess_credits(told, (BATTERY,), rules, TODAY)
    years = credits_by_year(told, (BATTERY,), rules, TODAY, first=2025, last=2028)
    assert (answer.status, answer.rate, answer.amount) == ("eligible", Decimal("0.22"), 2200)
    assert [(line.line, line.amount) for line in answer.form_lines] == [("7", "2200.00")]
    assert [row.programmes[0].amount for row in years] == [3000, 3000, 2200, 0]
    assert [row.programmes[0].checked for row in years] == [True, True, True, False]


def test_a_programme_file_adds_a_programme_and_a_dated_entry_a_year_of_it() -> None:
    rules = load_credit_rules()
    text = (SAMPLES / "state_storage_credit.toml").read_text("utf-8")
    longer = text.replace('value = "0.15"', 'value = "0.15"\nuntil = 2026-12-31') + (
        '\n[[rate]]\nfrom = 2027-01-01\nvalue = "0.05"\n'
    )
    day = date(2027, 5, 1)
    told = facts(completed_on=day, placed_in_service_on=day)
    income = {"household_income": Decimal(1), "tax_limit": Decimal(9000)}

    amounts = []
    for one in (text, longer):
        programmes = read_programmes([("p.toml", one.encode())], rules.costs)
        answers = assess_credits(told, (BATTERY,), rules, TODAY, programmes, income)
        amounts.append(answers[1].amount)

    assert amounts == [1500, 500]
