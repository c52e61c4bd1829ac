"""Texts made fit for a cell."""

import pytest

from estimator.documents.cell_text import cell_text, looks_like_a_command, property_text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("plain", "plain"),
        ("two\r\nlines", "two\nlines"),
        ("tab\tstays", "tab\tstays"),
        ("bell\x07null\x00del\x7fc1\x85", "bellnulldelc1"),
        ("half \ud800 pair", "half  pair"),
        ("escape _x0041_", "escape _x005F_x0041_"),
    ],
)
def test_takes_out_only_what_a_cell_cannot_hold(text: str, expected: str) -> None:
    assert cell_text(text) == expected


def test_a_text_as_long_as_a_cell_stays_whole() -> None:
    assert cell_text("x" * 32767) == "x" * 32767


def test_a_longer_text_is_cut_and_marked() -> None:
    shortened = cell_text("x" * 32768)

    assert len(shortened) == 32767
    assert shortened.endswith("x…")


def test_length_is_counted_as_spreadsheets_do() -> None:
    shortened = cell_text("\N{ELECTRIC LIGHT BULB}" * 20_000)

    assert len(shortened.encode("utf-16-le")) <= 2 * 32767
    assert shortened.endswith("\N{ELECTRIC LIGHT BULB}…")


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@A", "\t=1", " =1", "|cmd"])
def test_knows_what_a_spreadsheet_would_run(text: str) -> None:
    assert looks_like_a_command(text)


@pytest.mark.parametrize("text", ["", "a=1", "10 AWG", "3/4 conduit"])
def test_leaves_ordinary_texts_alone(text: str) -> None:
    assert not looks_like_a_command(text)


def test_a_property_is_one_short_line() -> None:
    assert property_text("a\nb\tc") == "a b c"
    assert len(property_text("y" * 300)) == 255
