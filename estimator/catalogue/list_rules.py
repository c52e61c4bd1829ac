"""How a whole list is written: what a person told of it, and what its rows show together."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from operator import itemgetter
from typing import Any, Literal

from estimator.catalogue.dates import shows_day_first, shows_month_first
from estimator.catalogue.figures import shows_decimal_comma, shows_decimal_point
from estimator.catalogue.header import BREAK_PRICES, CLASS_PRICES, Column
from estimator.catalogue.units_of_measure import BareM, is_bare_m, is_metric

BreaksCount = Literal["units", "packs"]
_PRICES: tuple[Column, ...] = ("price", "list price", *CLASS_PRICES, *BREAK_PRICES)
_UNITS: tuple[Column, ...] = ("per", "sold by")
_DATES: tuple[Column, ...] = ("valid from", "valid until")
_METRIC_SIZE = re.compile(r"[0-9]\s*(?:mm|cm)\b|mm²|mm2", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ListSettings:
    """What a person says of a list as a whole; None where nothing is said.

    bare_m: whether the letter M alone is a thousand or a metre. day_first: whether 03/04/26
    is the third of April. price_class: which of several price columns is ours, from 1.
    multiplier: what list prices are multiplied by where the row does not say; 1 if they are
    paid as they stand. breaks_count: what quantities of breaks, minimum orders and increments
    count: pieces and feet, or packs.
    """

    bare_m: Literal["thousand", "metre"] | None = None
    day_first: bool | None = None
    price_class: int | None = None
    multiplier: Decimal | None = None
    breaks_count: BreaksCount | None = None


NO_SETTINGS = ListSettings()


@dataclass(frozen=True, slots=True)
class ListRules:
    """How the rows of one list are read.

    decimal_commas: see figures.number. bare_m: what the letter M alone is. The others as in
    ListSettings. stated: what was concluded from the rows, as sentences.
    """

    decimal_commas: bool = False
    bare_m: BareM = "thousand"
    day_first: bool | None = None
    price_class: int | None = None
    multiplier: Decimal | None = None
    breaks_count: BreaksCount | None = None
    stated: tuple[str, ...] = ()


_MOST_MET = 10_000


class ListSigns:
    """Signs in the rows of a list that tell how the rest of it is written."""

    def __init__(self, place: Mapping[Column, int]) -> None:
        self._prices = _positions(place, _PRICES)
        self._units = _positions(place, _UNITS)
        self._dates = _positions(place, _DATES)
        self._description = place.get("description")
        # Few cells differ within a column; each is judged once, and most are met together.
        self._seen: dict[int, set[str]] = {at: set() for at in (*self._units, *self._dates)}
        self._together: Any = itemgetter(*self._seen) if self._seen else None
        self._met: set[object] = set()
        self.decimal_comma = False
        self.decimal_point = False
        self.day_first = False
        self.month_first = False
        self.metric = False
        self.has_bare_m = False

    def see(self, cells: Sequence[str]) -> None:
        """Take a row into account."""
        width = len(cells)
        for at in self._prices:
            if at < width:
                cell = cells[at]
                if "," in cell and not self.decimal_comma:
                    self.decimal_comma = shows_decimal_comma(cell)
                if not self.decimal_point:
                    self.decimal_point = shows_decimal_point(cell)
        if self._together is not None:
            self._see_repeated(cells, width)
        if self.has_bare_m and not self.metric and self._description is not None:
            self._judge_size(cells)

    def _see_repeated(self, cells: Sequence[str], width: int) -> None:
        try:
            together = self._together(cells)
        except IndexError:
            together = None  # A short row.
        if together in self._met:
            return
        if together is not None and len(self._met) < _MOST_MET:
            self._met.add(together)
        for at, seen in self._seen.items():
            if at < width and cells[at] not in seen:
                if len(seen) < _MOST_MET:
                    seen.add(cells[at])
                self._judge(at, cells[at])

    def _judge(self, at: int, cell: str) -> None:
        if at in self._units:
            self.metric = self.metric or is_metric(cell)
            self.has_bare_m = self.has_bare_m or is_bare_m(cell)
        else:
            self.day_first = self.day_first or shows_day_first(cell)
            self.month_first = self.month_first or shows_month_first(cell)

    def _judge_size(self, cells: Sequence[str]) -> None:
        at = self._description
        if at is not None and at < len(cells) and "m" in cells[at].lower():
            self.metric = bool(_METRIC_SIZE.search(cells[at]))

    def rules(self, settings: ListSettings, delimiter: str) -> ListRules:
        """How the list is read: what was told goes before what its rows show."""
        commas = self.decimal_comma or (delimiter == ";" and not self.decimal_point)
        stated: list[str] = []
        day_first = settings.day_first
        if day_first is None and self.day_first != self.month_first:
            day_first = self.day_first
            order = "day before month" if day_first else "month before day"
            stated.append(
                f"Dates such as 03/04/26 are read {order}, since others in the list can only be so."
            )
        bare_m: BareM = settings.bare_m or "thousand"
        if settings.bare_m is None and (self.metric or self.decimal_comma):
            bare_m = "unknown"
        elif settings.bare_m is None and self.has_bare_m:
            stated.append("M alone is read as a thousand, since nothing in the list is metric.")
        return ListRules(
            decimal_commas=commas,
            bare_m=bare_m,
            day_first=day_first,
            price_class=settings.price_class,
            multiplier=settings.multiplier,
            breaks_count=settings.breaks_count,
            stated=tuple(stated),
        )


def _positions(place: Mapping[Column, int], columns: Sequence[Column]) -> tuple[int, ...]:
    return tuple([place[column] for column in columns if column in place])
