"""A chart of horizontal bars, each with its words and figures beside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.pictures.svg import draw, lines_of
from estimator.units import plain

WIDTH = 830
LABEL_COLUMNS = 22
BAR_X, BAR_WIDTH = 180, 390
TOP, ROW, LINE = 64, 46, 17
_ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar. value: its length; None where it is not known. figures: words at its end.

    low, high: the range around the value, drawn as a line with ends. over: past the limit.
    """

    label: str
    value: Decimal | None
    figures: str
    low: Decimal | None = None
    high: Decimal | None = None
    over: bool = False


@dataclass(frozen=True, slots=True)
class _Drawn:
    y: int
    labels: tuple[str, ...]
    length: str
    figures: tuple[str, ...]
    low_x: str
    high_x: str
    middle_x: str
    over: bool


def draw_bars(
    title: str,
    unit: str,
    bars: Sequence[Bar],
    *,
    limit: Decimal | None = None,
    limit_words: str = "",
    note: str = "",
) -> str:
    """SVG of the bars on one scale from zero. unit: what is measured, as the chart's second line.

    limit: drawn as a line across all bars, with limit_words.
    """
    largest = max([limit or _ZERO, *(each for bar in bars for each in _reach(bar)), _ZERO])
    drawn = [_drawn(place, bar, largest) for place, bar in enumerate(bars)]
    bottom = TOP + ROW * len(drawn)
    told = "; ".join(f"{bar.label}: {bar.figures}" for bar in bars)
    return draw(
        "bars.svg.jinja",
        title=title,
        unit=unit,
        bars=drawn,
        width=WIDTH,
        bottom=bottom,
        limit_x=None if limit is None else _x(limit, largest),
        limit_words=limit_words,
        notes=lines_of(note, 100) if note else (),
        description=". ".join(each for each in (unit, told, limit_words, note) if each),
    )


def _reach(bar: Bar) -> list[Decimal]:
    return [each for each in (bar.value, bar.low, bar.high) if each is not None]


def _x(amount: Decimal, largest: Decimal) -> str:
    return plain(round(BAR_X + _length(amount, largest), 1))


def _length(amount: Decimal, largest: Decimal) -> Decimal:
    return BAR_WIDTH * max(amount, _ZERO) / largest if largest else _ZERO


def _drawn(place: int, bar: Bar, largest: Decimal) -> _Drawn:
    value = bar.value or _ZERO
    low = value if bar.low is None else bar.low
    high = value if bar.high is None else bar.high
    return _Drawn(
        y=TOP + ROW * place,
        labels=lines_of(bar.label, LABEL_COLUMNS),
        length=plain(round(_length(value, largest), 1)),
        figures=lines_of(bar.figures, 31),
        low_x=_x(low, largest),
        high_x=_x(high, largest),
        middle_x=_x(value, largest),
        over=bar.over,
    )
