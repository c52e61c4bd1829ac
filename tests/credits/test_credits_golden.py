"""Full answers word for word: a wrong text on a memo is a fault like a wrong amount."""

import json

import pytest
from credits_golden import FOLDER, KEPT, text_of


def test_every_kept_answer_belongs_to_a_claim() -> None:
    assert {path.stem for path in FOLDER.glob("*.json")} == set(KEPT)


@pytest.mark.parametrize("name", KEPT)
def test_the_full_answer_is_the_one_that_was_read_and_kept(name: str) -> None:
    kept = (FOLDER / f"{name}.json").read_text("utf-8")

    assert json.loads(text_of(name)) == json.loads(kept)
