"""Formulas get their values, and a forgotten one is noticed."""

import io
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import Workbook, load_workbook

from estimator.documents.cached_values import CacheMismatch, with_cached_values

DAY = date(2025, 10, 2)


def _written() -> bytes:
    workbook = Workbook()
    sheet = workbook.worksheets[0]
    sheet.title = "First"
    sheet["A1"] = 2
    sheet["A2"] = "=A1*1.5"
    workbook.create_sheet("Second")["B1"] = '="a"&"b"'
    stream = io.BytesIO()
    workbook.save(stream)
    return stream.getvalue()


def test_numbers_and_texts_become_the_values_of_their_formulas() -> None:
    values = {("First", "A2"): Decimal("3.00"), ("Second", "B1"): "ab"}

    content = with_cached_values(_written(), ("First", "Second"), values, DAY)

    shown = load_workbook(io.BytesIO(content), data_only=True)
    assert shown["First"]["A2"].value == 3
    assert shown["Second"]["B1"].value == "ab"
    assert load_workbook(io.BytesIO(content))["First"]["A2"].value == "=A1*1.5"


def test_a_formula_without_a_value_is_refused() -> None:
    with pytest.raises(CacheMismatch, match="Second!B1"):
        with_cached_values(_written(), ("First", "Second"), {("First", "A2"): Decimal(3)}, DAY)


def test_a_value_without_a_formula_is_refused() -> None:
    values = {("First", "A2"): Decimal(3), ("Second", "B1"): "ab", ("First", "A1"): Decimal(2)}

    with pytest.raises(CacheMismatch, match="A1"):
        with_cached_values(_written(), ("First", "Second"), values, DAY)
