"""The ways to get the job done side by side as plain text."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from textwrap import wrap

from estimator.compare.records import Way
from estimator.documents.comparison_rows import (
    FOR_EACH,
    GROUPS,
    HOURS,
    IF_ALLOWED,
    NAMES,
    RANGE,
    FigureRow,
    groups_of,
    method_of,
    paid_for,
    quote_words,
)

_LABEL, _COLUMN, _WIDTH = 52, 15, 96
_FORMATS = {"money": ",.2f", "unit_price": ",.4f", "hours": ",.2f", "count": "d"}


def comparison_lines(ways: Sequence[Way], currency: str) -> list[str]:
    """A column for each way, then what it leaves out, what may forbid it, what is not known."""
    lines = [_line(currency, [NAMES[way.way] for way in ways])]
    lines += [
        _line(GROUPS[group], [_money(paid_for(way, group) or None) for way in ways])
        for group in groups_of(ways)
    ]
    lines += [
        _line("Cash cost", [_money(way.cash_cost) for way in ways]),
        _line("Sure credit", [_money(way.credit) for way in ways]),
        _line("Cost after the sure credit", [_money(way.cost_after_credit) for way in ways]),
        _line("Worth of own hours", [_worth(way) for way in ways]),
        _line("Whole cost", [_money(way.whole_cost) for way in ways]),
    ]
    lines += [_line(f"Whole cost: {row.label.lower()}", _figures(row, ways)) for row in RANGE]
    for row in (*IF_ALLOWED, *HOURS, *FOR_EACH):
        figures = _figures(row, ways)
        if any(figures):
            lines.append(_line(row.label, figures))
    lines += _wrapped(_meaning(ways))
    lines += _wrapped(method_of(ways[0]))
    for way in ways:
        lines += ["", NAMES[way.way], *_about(way)]
    return lines


def _line(label: str, figures: Sequence[str]) -> str:
    return (f"{label:{_LABEL}}" + "".join(f"{one:>{_COLUMN}}" for one in figures)).rstrip()


def _figures(row: FigureRow, ways: Sequence[Way]) -> list[str]:
    figures = [row.figure(way) for way in ways]
    return ["" if one is None else f"{one:{_FORMATS[row.unit]}}" for one in figures]


def _worth(way: Way) -> str:
    return "not told" if way.own_hours_value is None else _money(way.own_hours_value or None)


def _meaning(ways: Sequence[Way]) -> str:
    valued = any(way.own_hours_value for way in ways)
    hours = "own hours at their worth" if valued else "own hours not valued"
    return (
        "Whole cost adds up the likely figures above it. Of a hundred such jobs 10 cost less than "
        "low, 50 less than likely and 90 less than high: after the sure credit, "
        f"{hours}. Where more can go wrong than well, likely lies above the sum."
    )


def _about(way: Way) -> Iterator[str]:
    if way.not_known:
        yield from _point(f"INCOMPLETE: {'; '.join(way.not_known)}")
    for quote in way.hire_quotes:
        yield from _point(quote_words(quote))
    for note in way.may_be_forbidden:
        yield from _point(f"may be forbidden: {note.text}")
    for note in way.leaves_out:
        yield from _point(f"leaves out: {note.text}")


def _point(text: str) -> list[str]:
    return wrap(text, _WIDTH, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False)


def _wrapped(text: str) -> list[str]:
    return wrap(text, _WIDTH, break_on_hyphens=False)


def _money(amount: Decimal | int | None) -> str:
    return "" if amount is None else f"{amount:,.2f}"
