"""States, sending and numbers of quotes."""

from copy import deepcopy
from datetime import date
from itertools import product
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from quote_snapshots import RESULT, VALID_UNTIL, snapshot

from estimator.quotes.numbering import quote_number, read_quote_number
from estimator.quotes.snapshot import check_sending, shortcomings
from estimator.quotes.states import NotAllowed, QuoteState, check_step, state_on

ALLOWED = {
    ("draft", "sent"), ("draft", "superseded"), ("sent", "accepted"), ("sent", "declined"),
    ("sent", "expired"), ("sent", "superseded"), ("declined", "superseded"),
    ("expired", "superseded"),
}  # fmt: skip
STATES = get_args(QuoteState)


@pytest.mark.parametrize(("before", "after"), list(product(STATES, STATES)))
def test_only_the_steps_of_the_table_are_allowed(before: QuoteState, after: QuoteState) -> None:
    if (before, after) in ALLOWED:
        check_step(before, after)
        return

    with pytest.raises(NotAllowed, match=f"that is {before} cannot become {after}"):
        check_step(before, after)


@pytest.mark.parametrize(
    ("today", "state"),
    [(date(2026, 3, 31), "sent"), (VALID_UNTIL, "sent"), (date(2026, 4, 2), "expired")],
)
def test_a_sent_quote_expires_the_day_after_its_last_one(today: date, state: str) -> None:
    assert state_on("sent", VALID_UNTIL, today) == state


@pytest.mark.parametrize("state", [each for each in STATES if each != "sent"])
def test_no_other_state_changes_by_the_date_alone(state: QuoteState) -> None:
    assert state_on(state, VALID_UNTIL, date(2030, 1, 1)) == state


def faulty() -> dict:
    made = deepcopy(RESULT)
    made["estimate"]["findings"] = [
        {"severity": "warning", "code": "W", "message": "A warning.", "where": ""},
        {"severity": "error", "code": "E", "message": "The leg is too small.", "where": ""},
    ]
    made["price"]["lines"][0] |= {"match": "proposed"}
    made["price"]["lines"][1] |= {"match": "unpriced", "amount": None, "unit_price": None}
    return made


def test_errors_guesses_and_missing_prices_are_all_told_at_once() -> None:
    found = tuple(shortcomings(faulty()))

    assert [each.kind for each in found] == ["error_finding", "proposed_match", "unpriced_part"]
    with pytest.raises(NotAllowed) as refused:
        check_sending(found, (), VALID_UNTIL, VALID_UNTIL)
    for text in ("The leg is too small.", "item NC-0027", "10 AWG conductor, black has no price"):
        assert text in str(refused.value)
    assert "A warning" not in str(refused.value)


@pytest.mark.parametrize("left", ["error_finding", "proposed_match", "unpriced_part"])
def test_each_kind_has_to_be_stated_by_itself(left: str) -> None:
    found = tuple(shortcomings(faulty()))
    kinds = {each.kind for each in found}

    check_sending(found, tuple(kinds), VALID_UNTIL, VALID_UNTIL)

    with pytest.raises(NotAllowed):
        check_sending(found, tuple(kinds - {left}), VALID_UNTIL, VALID_UNTIL)


def test_a_quote_whose_last_day_is_gone_by_is_not_sent() -> None:
    with pytest.raises(NotAllowed, match="2026-04-01 only, which is gone by"):
        check_sending((), (), VALID_UNTIL, date(2026, 4, 2))


def test_a_snapshot_holds_the_total_and_every_shortcoming() -> None:
    made = snapshot(faulty(), stated=("unpriced_part", "unpriced_part"))

    assert str(made.total) == "149.51"
    assert made.stated == ("unpriced_part",)
    assert len(made.shortcomings) == 3


@settings(max_examples=100)
@given(st.integers(1000, 9999), st.integers(1, 10**9 - 1))
def test_a_number_is_read_back_and_sorts_within_its_length(year: int, sequence: int) -> None:
    assert read_quote_number(quote_number(year, sequence)) == (year, sequence)


@pytest.mark.parametrize("text", ["", "2026-7", "2026-00007", "26-0007", "2026-0007x", "2026-0000"])
def test_other_texts_are_no_numbers(text: str) -> None:
    with pytest.raises(ValueError, match=r"number|zeros"):
        read_quote_number(text)
