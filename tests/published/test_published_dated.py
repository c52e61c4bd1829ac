"""Values by date: gaps are errors, broken rule files are refused with their place."""

import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.published.dated import Dated, RuleError, RuleGap, read_decimals
from estimator.published.sources import load_sources

BROKEN = Path(__file__).parent / "broken"

SOUND = """
[[rate]]
from = 2020-01-01
until = 2021-12-31
value = "0.26"
source = "usc_25d_g"
checked_on = 2026-11-25

[[rate]]
from = 2022-01-01
value = "0.30"
source = "usc_25d_g"
checked_on = 2026-11-25
"""


def read(text: str) -> Dated[Decimal]:
    return read_decimals(tomllib.loads(text)["rate"], name="rate", sources=load_sources().keys())


@pytest.mark.parametrize(
    ("file", "told"),
    [
        ("unknown_field.toml", "rate, entry 1: unknown field rat"),
        ("missing_field.toml", "rate, entry 1: field checked_on is missing"),
        ("bare_number.toml", "rate, entry 1: value must be a number written as text"),
        ("not_a_number.toml", "rate, entry 1: value 'a quarter' is not a number"),
        ("date_as_text.toml", "rate, entry 1: from must be a date"),
        ("unknown_source.toml", "rate, entry 1: 'usc_99' is not a key of sources.toml"),
        ("overlap.toml", "rate, entry 2: starts before the entry above it ends"),
        ("out_of_order.toml", "rate, entry 2: starts before the entry above it ends"),
        ("until_before_from.toml", "rate, entry 1: until is before from"),
    ],
)
def test_a_broken_rule_is_refused_with_its_place(file: str, told: str) -> None:
    text = (BROKEN / file).read_text("utf-8")

    with pytest.raises(RuleError) as caught:
        read(text)

    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("day", "value"),
    [
        (date(2020, 1, 1), "0.26"),
        (date(2021, 12, 31), "0.26"),
        (date(2022, 1, 1), "0.30"),
        (date(2031, 7, 1), "0.30"),
    ],
)
def test_the_value_is_that_of_the_span_holding_the_day(day: date, value: str) -> None:
    rule = read(SOUND)

    span = rule.on(day)

    assert span.value == Decimal(value)


def test_a_day_before_the_first_value_is_a_gap() -> None:
    rule = read(SOUND)

    with pytest.raises(RuleGap, match="rate has no value for 2019-12-31"):
        rule.on(date(2019, 12, 31))


def test_a_day_after_an_explicit_end_is_a_gap() -> None:
    rule = read(SOUND.replace('value = "0.30"', 'until = 2025-12-31\nvalue = "0.30"'))

    with pytest.raises(RuleGap):
        rule.on(date(2026, 1, 1))
