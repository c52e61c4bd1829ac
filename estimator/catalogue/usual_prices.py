"""What goods usually cost: wide bands that a price off by 100 cannot fall into.

They are no prices to quote from. A whole list that is read with the wrong unit agrees with
itself, and goods without neighbours agree with nothing; only such a band tells.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache

from estimator.catalogue.records import Item
from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table
from estimator.takeoff.records import Attributes

CURRENCY = "USD"
_TABLE = "lexicon/usual_prices.csv"


@dataclass(frozen=True, slots=True)
class UsualPrice:
    """From low to high [USD] for one piece or foot of a kind; attribute: blank for all of it."""

    kind: str
    attribute: str | None
    value: str | None
    low_usd: Decimal
    high_usd: Decimal
    source: str

    @property
    def middle_usd(self) -> Decimal:
        """What both ends are the same number of times away from."""
        return (self.low_usd * self.high_usd).sqrt()


@cache
def load_usual_prices() -> Mapping[str, tuple[UsualPrice, ...]]:
    """The package's bands by kind, read once in a process; those of one value come first."""
    rows = read_table(
        package_text("estimator.catalogue", _TABLE),
        UsualPrice,
        name=_TABLE,
        key=("kind", "attribute", "value"),
        sources=load_sources(),
    )
    found: dict[str, list[UsualPrice]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: row.attribute is None):
        found[row.kind].append(row)
    return {kind: tuple(bands) for kind, bands in found.items()}


@lru_cache(maxsize=65_536)
def usual_price(kind: str, attributes: Attributes) -> UsualPrice | None:
    """The band of such goods, None where there is none."""
    told = dict(attributes)
    for band in load_usual_prices().get(kind, ()):
        if band.attribute is None or told.get(band.attribute) == band.value:
            return band
    return None


@dataclass(frozen=True, slots=True)
class Outside:
    """A price that is not in its band. ratio: to the nearer end of it."""

    band: UsualPrice
    ratio: Decimal


def usual_of(item: Item) -> UsualPrice | None:
    """The band of an item; None in another currency."""
    return usual_price(item.kind, item.attributes) if item.currency == CURRENCY else None


def outside(item: Item) -> Outside | None:
    """How far the price of an item is outside of its band; None when it is not."""
    band = usual_of(item)
    if band is None or band.low_usd <= item.unit_price <= band.high_usd:
        return None
    end = band.high_usd if item.unit_price > band.high_usd else band.low_usd
    return Outside(band, price_ratio(item.unit_price, end))


def price_ratio(price: Decimal, other: Decimal) -> Decimal:
    """How many times one price is the other, at least 1."""
    return price / other if price >= other else other / price
