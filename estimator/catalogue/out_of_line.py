"""Prices that are out of line with their neighbours: the slip between each, C and M."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from decimal import Decimal

from estimator.catalogue.list_sheets import place
from estimator.catalogue.price_neighbours import Market, Slip
from estimator.catalogue.records import Item, PriceList
from estimator.catalogue.usual_prices import CURRENCY, outside
from estimator.finding import Finding
from estimator.money import to_unit_price

# So far outside of the usual band that even prices which agree with each other are told.
FAR_OUTSIDE = Decimal(3)
_NAMED_ROWS = 5


def out_of_line(lists: Sequence[PriceList], currency: str) -> list[Finding]:
    """A finding for each list with prices that are about 10, 100 or 1,000 times what their
    neighbours cost, or that part of it.

    Neighbours are items of the same kind and attributes, looks aside; where there are none,
    the next sizes; where there are none either, goods that differ in one attribute, with a
    wider limit. Prices are of one unit, freed from pack and basis. Where two disagree, the one
    that is not in the band of usual prices is out of line, else the one that disagrees with
    more of its neighbours; where that is even, both are. Goods without a neighbour in any list
    are held against the band alone, and prices that agree with each other are told where they
    are far outside of it. Bands are in US dollars; other currencies have neighbours only. Kits
    are not judged. Of a list of which only some items are here, those far outside of the band
    are told and no others: who its neighbours are is not known.
    """
    market = Market(
        [
            item
            for each in lists
            for item in each.items
            if item.currency == currency and not item.covers
        ]
    )
    if any(each.in_part for each in lists):
        slips = _beyond_usual(market, lonely=False)
    else:
        slips = {**_beyond_usual(market), **_settle(market)}
    findings = []
    for each in lists:
        own = [slip for item in each.items if (slip := slips.get(id(item))) is not None]
        if own:
            findings.append(_finding(each, own))
    return findings


def _settle(market: Market) -> Mapping[int, Slip]:
    """The slips by the identity of their item, those first that disagree with most others."""
    suspects = [item for item in market.items if market.slip(item) is not None]
    found: dict[int, Slip] = {}
    by_count: dict[tuple[bool, int], list[Item]] = defaultdict(list)
    for item in suspects:
        unusual = outside(item) is not None
        by_count[unusual, market.disagreements(item)].append(item)
    for count in sorted(by_count, reverse=True):
        slips = [slip for item in by_count[count] if (slip := market.slip(item)) is not None]
        found.update({id(slip.item): slip for slip in slips})
        # A price that is out of line is no measure for those of its neighbours.
        market.leave_out([slip.item for slip in slips])
    return found


def _beyond_usual(market: Market, *, lonely: bool = True) -> Mapping[int, Slip]:
    """The prices that are outside of the usual band, by the identity of their item.

    lonely: also those little outside of it that have no neighbour.
    """
    found: dict[int, Slip] = {}
    for item in market.items:
        beyond = outside(item)
        if beyond is not None and (
            (lonely and market.is_alone(item)) or beyond.ratio >= FAR_OUTSIDE
        ):
            found[id(item)] = Slip(item, beyond.band.middle_usd, beyond.band)
    return found


def _finding(price_list: PriceList, slips: Sequence[Slip]) -> Finding:
    told = "; ".join(_tell(slip) for slip in slips[:_NAMED_ROWS])
    if len(slips) > _NAMED_ROWS:
        told += f"; and {len(slips) - _NAMED_ROWS} more"
    return Finding(
        "warning",
        "PRICE_OUT_OF_LINE",
        f"{price_list.name} has prices that are out of line with their neighbours: {told}.",
        "",
        "own_convention",
        "Check price and unit of these rows: C is a hundred, M a thousand, and a price for a "
        "pack is not one for each.",
    )


def _tell(slip: Slip) -> str:
    item = slip.item
    told = f"{place(item.sheet, item.row)}, item {item.number} ({item.description}): "
    told += f"{item.unit_price} for one "
    if slip.band is not None:
        low, high = slip.band.low_usd.normalize(), slip.band.high_usd.normalize()
        return told + f"{item.unit}, where such goods usually cost {low:f} to {high:f} {CURRENCY}"
    way = "times as much as" if item.unit_price > slip.usual else "times less than"
    return told + (
        f"{item.unit} is about {slip.factor:,} {way} the {_shown(slip.usual)} of its neighbours"
    )


def _shown(price: Decimal) -> str:
    return f"{to_unit_price(price).normalize():f}"
