"""Money, days and amounts as readers of a document write them."""

from datetime import date
from decimal import Decimal

from babel.dates import format_date
from babel.numbers import format_currency, format_decimal

from estimator.documents.pdf.records import Sheet


def money(amount: Decimal, currency: str, sheet: Sheet) -> str:
    """An amount with its currency, in cents."""
    return format_currency(amount, currency, locale=sheet.locale)


def unit_money(amount: Decimal, currency: str, sheet: Sheet) -> str:
    """A unit price, to four places where it has them."""
    places = "#,##0.00##"
    return format_currency(
        amount, currency, format=f"¤{places}", locale=sheet.locale, currency_digits=False
    )


def number(amount: Decimal | int, sheet: Sheet) -> str:
    """A plain amount without trailing zeros."""
    return format_decimal(amount, locale=sheet.locale, decimal_quantization=False)


def day(value: date | None, sheet: Sheet) -> str:
    """A day with its month in words; empty where it is not told."""
    return "" if value is None else format_date(value, format="long", locale=sheet.locale)
