"""The prices of like goods, and how far one is from those of its neighbours."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from statistics import median

from estimator.catalogue.records import Item
from estimator.catalogue.usual_prices import UsualPrice, outside, price_ratio, usual_of
from estimator.takeoff.records import Attributes
from estimator.units import inches, wire_rank

# Singles and boxes, or neighbouring sizes, differ by less than this; a slip by ten or more.
SAME_GOODS = Decimal(6)
# Goods that differ in one more attribute, such as the style, may well differ tenfold.
LIKE_GOODS = Decimal(30)
_NEXT_WIRE_SIZES = 2
_NEXT_SIZE_RATIO = Decimal("1.7")
_LEAST_LIKE = 2
_ENOUGH_ALIKE = 3
_MOST_COMPARED = 200
_COLOUR = "colour"
# Those of another colour are alike, and another consumable is no neighbour of like content.
_NEVER_COMPARED = frozenset({_COLOUR, "consumable"})

Key = tuple[str, Attributes]


@dataclass(frozen=True, slots=True)
class Slip:
    """usual: what the item should cost. band: where no neighbour but the usual price tells so."""

    item: Item
    usual: Decimal
    band: UsualPrice | None = None

    @property
    def factor(self) -> int:
        """The nearest of 10, 100, 1,000 ... by which the price is out."""
        ratio = price_ratio(self.item.unit_price, self.usual)
        power = 10
        # Half way between two powers of ten, by ratio.
        while ratio * ratio > power * power * 10:
            power *= 10
        return power


class Market:
    """All prices by what is sold."""

    def __init__(self, items: Sequence[Item]) -> None:
        self.items = items
        self.prices: dict[Key, list[Decimal]] = defaultdict(list)
        for item in items:
            self.prices[item.kind, item.attributes].append(item.unit_price)
        self.usual: dict[Key, Decimal | None] = {
            key: median(prices) for key, prices in self.prices.items()
        }
        self.by_looks: dict[Key, list[Key]] = defaultdict(list)
        # What is left without one attribute: the goods that differ in nothing else.
        self.but_one: dict[tuple[str, int, Attributes], list[Key]] = defaultdict(list)
        looks: set[Key] = set()
        for key in self.prices:
            kind, attributes = key
            apart = _but_colour(attributes)
            if apart is not None:
                looks.add(key)
                self.by_looks[kind, apart].append(key)
            for place in range(len(attributes)):
                rest = attributes[:place] + attributes[place + 1 :]
                self.but_one[kind, place, rest].append(key)
        # Several prices that go together need no further look.
        self.agreed = {
            key
            for key, prices in self.prices.items()
            if len(prices) > 1 and key not in looks and max(prices) < SAME_GOODS * min(prices)
        }
        self.next: dict[Key, list[Decimal]] = {}
        self.like: dict[Key, list[Decimal]] = {}

    def slip(self, item: Item) -> Slip | None:
        """How far an item is out of line; None when it is not, or has no neighbours."""
        key = (item.kind, item.attributes)
        if key in self.agreed:
            return None
        alike = self._alike(item, key)
        usual = _out(item.unit_price, alike, SAME_GOODS)
        if alike and (usual is None or len(alike) >= _ENOUGH_ALIKE):
            return None if usual is None else Slip(item, usual)
        # Of two prices that disagree, other goods tell which one is out of line.
        judged = self._judged(item, key)
        if alike and judged is None:
            return None if usual is None else Slip(item, usual)
        if not judged:
            return None
        return Slip(item, judged, usual_of(item) if self._onlyusual_of(key) else None)

    def is_alone(self, item: Item) -> bool:
        """Whether no neighbour's price tells anything of an item's."""
        key = (item.kind, item.attributes)
        return key not in self.agreed and not self._alike(item, key) and self._onlyusual_of(key)

    def disagreements(self, item: Item) -> int:
        """With how many of its neighbours' prices an item's price does not go together."""
        key = (item.kind, item.attributes)
        beside = [*self._alike(item, key), *self._next_sizes(key)]
        return sum(price_ratio(item.unit_price, price) >= SAME_GOODS for price in beside)

    def leave_out(self, items: Sequence[Item]) -> None:
        """Measure no others by the prices of these items."""
        for item in items:
            key = (item.kind, item.attributes)
            self.prices[key].remove(item.unit_price)
            self.usual[key] = median(self.prices[key]) if self.prices[key] else None
        if items:
            self.next.clear()
            self.like.clear()

    def _judged(self, item: Item, key: Key) -> Decimal | None:
        """The usual price by other goods or the band; zero when in line; None without any."""
        beside = self._next_sizes(key)
        if beside:
            return _out(item.unit_price, beside, SAME_GOODS) or Decimal(0)
        like = self._like_goods(key)
        if len(like) >= _LEAST_LIKE:
            return _out(item.unit_price, like, LIKE_GOODS) or Decimal(0)
        band = usual_of(item)
        if band is None:
            return None
        return band.middle_usd if outside(item) is not None else Decimal(0)

    def _onlyusual_of(self, key: Key) -> bool:
        """Whether neither other sizes nor goods that are nearly alike tell anything."""
        return not self._next_sizes(key) and len(self._like_goods(key)) < _LEAST_LIKE

    def _alike(self, item: Item, key: Key) -> list[Decimal]:
        found = self.prices[key]
        if len(found) > _MOST_COMPARED:
            # Of so many prices one more or less does not move the middle.
            found = self._usual_of([key]) * _ENOUGH_ALIKE
        elif item.unit_price in found:
            place = found.index(item.unit_price)
            found = found[:place] + found[place + 1 :]
        else:
            found = list(found)
        apart = _but_colour(key[1])
        if apart is not None:
            found += self._usual_of([o for o in self.by_looks[item.kind, apart] if o != key])
        return found

    def _usual_of(self, keys: Sequence[Key]) -> list[Decimal]:
        return [usual for key in keys if (usual := self.usual[key]) is not None]

    def _next_sizes(self, key: Key) -> list[Decimal]:
        if key not in self.next:
            self.next[key] = self._usual_of(
                [
                    other
                    for place, others in self._but_one(key)
                    for other in others
                    if _next_to(key[1][place][1], other[1][place][1])
                ]
            )
        return self.next[key]

    def _like_goods(self, key: Key) -> list[Decimal]:
        if key not in self.like:
            self.like[key] = self._usual_of(
                [other for _, others in self._but_one(key) for other in others]
            )
        return self.like[key]

    def _but_one(self, key: Key) -> Iterator[tuple[int, list[Key]]]:
        """Goods that differ in one attribute alone, by its place; not by one never compared."""
        kind, attributes = key
        for place in range(len(attributes)):
            if attributes[place][0] in _NEVER_COMPARED:
                continue
            rest = attributes[:place] + attributes[place + 1 :]
            others = self.but_one[kind, place, rest][:_MOST_COMPARED]
            yield place, [other for other in others if other != key]


def _but_colour(attributes: Attributes) -> Attributes | None:
    """The attributes without the colour, which goods of one price come in; None without one."""
    apart = tuple([each for each in attributes if each[0] != _COLOUR])
    return None if apart == attributes else apart


def _out(price: Decimal, neighbours: Sequence[Decimal], limit: Decimal) -> Decimal | None:
    if not neighbours:
        return None
    usual = median(neighbours)
    return usual if price_ratio(price, usual) >= limit else None


def _next_to(one: str, other: str) -> bool:
    """Whether two sizes are near each other: wire sizes by rank, others by their ratio."""
    first, second = _measure(one), _measure(other)
    if first is None or second is None or first[0] != second[0]:
        return False
    if first[0] == "wire":
        return abs(first[1] - second[1]) <= _NEXT_WIRE_SIZES
    return first[1] <= _NEXT_SIZE_RATIO * second[1] and second[1] <= _NEXT_SIZE_RATIO * first[1]


@lru_cache(maxsize=4096)
def _measure(value: str) -> tuple[str, Decimal] | None:
    try:
        return "wire", Decimal(wire_rank(value))
    except KeyError:
        pass
    try:
        size = inches(value.removeprefix("#").removesuffix(" in"))
    except (ValueError, ArithmeticError):
        return None
    return ("number" if value.startswith("#") else "inches", size) if size > 0 else None
