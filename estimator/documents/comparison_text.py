"""The ways to get the job done side by side as plain text."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.compare.records import Way
from estimator.units import plain

_NAMES = {"own": "do it oneself", "hire": "hire", "cords_only": "only cords"}
_COLUMNS = "{:16} {:>9} {:>11} {:>10} {:>11} {:>11} {:>11} {:>11}"


def comparison_lines(ways: Sequence[Way], currency: str) -> list[str]:
    """A table of the ways, then what each leaves out, what may forbid it, what is not known."""
    lines = [
        _COLUMNS.format(
            currency, "hours", "cash cost", "credit", "after", "low", "likely", "high"
        ).rstrip()
    ]
    lines += [_row(way) for way in ways]
    lines.append(_meaning(ways))
    for way in ways:
        lines += _about(way)
    return lines


def _row(way: Way) -> str:
    amounts = (
        way.cash_cost, way.credit, way.cost_after_credit, way.low, way.likely, way.high,
    )  # fmt: skip
    return _COLUMNS.format(_NAMES[way.way], plain(way.hours), *map(_money, amounts))


def _meaning(ways: Sequence[Way]) -> str:
    valued = any(way.own_hours_value for way in ways)
    hours = "own hours at their worth" if valued else "own hours not valued"
    return f"Credit: the sure part. Low, likely, high: 10, 50, 90 of a hundred, {hours}."


def _about(way: Way) -> list[str]:
    name = _NAMES[way.way]
    lines = []
    if way.break_even_hour_value is not None:
        worth = _money(way.break_even_hour_value)
        lines.append(f"{name}: costs what hiring does when an own hour is worth {worth}")
    lines += [
        f"{name}: a quote of {_money(quote.total)} stands beside" for quote in way.hire_quotes
    ]
    lines += [f"{name}: left out: {note.text}" for note in way.leaves_out]
    lines += [f"{name}: may be forbidden: {note.text}" for note in way.may_be_forbidden]
    if way.not_known:
        lines.append(f"{name}: INCOMPLETE: {'; '.join(way.not_known)}")
    return lines


def _money(amount: Decimal) -> str:
    return f"{amount:,.2f}"
