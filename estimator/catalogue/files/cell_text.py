"""Cells of workbooks as text, as a person sees them rather than as a processor keeps them."""

from datetime import date, datetime, time, timedelta
from decimal import Decimal

from estimator.catalogue.files.number_format import NumberFormat

# Spreadsheets show and keep 15 significant digits; what a double has beyond them is noise of
# the sums that made it: 21.989000000000004 is 21.989.
_DIGITS = 15
# ECMA-376, part 1, 18.18.11 (values of cells of type e), and those of functions that came later.
ERRORS = frozenset(
    {
        "#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!", "#SPILL!", "#CALC!",
        "#FIELD!", "#BLOCKED!", "#CONNECT!", "#UNKNOWN!", "#GETTING_DATA",
    }
)  # fmt: skip

Value = str | int | float | bool | date | time | timedelta | None


class DayText(str):
    """The text of a cell that holds a date. Where no date belongs, a spreadsheet made it one."""

    __slots__ = ()


class WrongText(str):
    """The text of a cell whose value is not known. why: what is wrong and what to do."""

    why: str

    def __new__(cls, text: str, why: str) -> "WrongText":
        """The text, marked."""
        made = super().__new__(cls, text)
        made.why = why
        return made


def error_of(text: str) -> str:
    """What is wrong with a cell that shows an error of a spreadsheet; blank for any other."""
    if text[:1] != "#" or text.strip().upper() not in ERRORS:
        return ""
    return f"{text.strip()} is an error of the spreadsheet. Put the value into the cell"


def uncached(shown: str = "") -> WrongText:
    """The mark of a formula whose value is not in the file."""
    return WrongText(
        shown or "=",
        "is a formula whose value is not in the file. Open the workbook in a spreadsheet program, "
        "save it, and send that",
    )


def number_text(value: float) -> str:
    """A number to 15 significant digits, never in powers of ten.

    A figure with exactly three decimals gets a fourth, so that 1.234 from a cell that holds a
    number is not taken for 1234 in a list whose texts have points between thousands.
    """
    if isinstance(value, float):
        text = f"{value:.{_DIGITS}g}"
        if not text.lstrip("-")[:1].isdigit():
            return "#NUM!"
        if "e" in text:
            text = f"{Decimal(text):f}"
    else:
        text = str(value)
    if len(text) > 4 and text[-4] == ".":
        text += "0"
    return text


def value_text(value: Value) -> str:
    """Any value of a cell as text, marked where it is a date or an error; blank for none."""
    if value is None:
        return ""
    if isinstance(value, str):
        why = error_of(value)
        return WrongText(value, why) if why else value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, datetime):
        midnight = not (value.hour or value.minute or value.second)
        return DayText(value.date().isoformat() if midnight else value.isoformat(" ", "seconds"))
    return DayText(value.isoformat()) if isinstance(value, date | time) else str(value)


def formatted(value: float, number_format: NumberFormat) -> str:
    """A number with what its format writes beside it: a sign of money, a unit, per cent."""
    if number_format.percent:
        value = float(number_text(value * 100))
    text = number_text(value)
    if number_format.digits > 1 and text.isdigit():
        text = text.zfill(number_format.digits)
    return f"{number_format.before}{text}{number_format.after}"
