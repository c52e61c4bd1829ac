"""Which prices hold on a day: dates of validity, prices to come, discontinued items.

A price that ran out is not used, not even where there is no other: a part without a price is
seen and asked for, a stale price is not. Of several prices of one item that hold on the day
the one with the latest first day counts, so that a new price replaces an old one and a
passing offer goes before the usual price.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from estimator.catalogue.match import Key, key_of
from estimator.catalogue.records import Item, PriceList, Purchase
from estimator.finding import Finding
from estimator.takeoff.records import Part

Why = Literal["out of date", "not yet valid", "discontinued"]

_NAMED_ITEMS = 5


@dataclass(frozen=True, slots=True)
class Unusable:
    """An item that cannot be bought on the day, and of which no other price holds."""

    item: Item
    why: Why


@dataclass(frozen=True, slots=True)
class OnDay:
    """Price lists on a day. lists: with the items that can be bought, the rest as they are.

    unusable: the other items by what they are. findings: what was left out, list by list.
    """

    day: date
    lists: tuple[PriceList, ...]
    unusable: Mapping[Key, tuple[Unusable, ...]]
    findings: tuple[Finding, ...]


def depends_on_day(lists: Iterable[PriceList]) -> bool:
    """Whether any item has dates or is discontinued."""
    return any(_has_terms(item) for each in lists for item in each.items)


def valid_on(items: Sequence[Item], day: date) -> tuple[tuple[Item, ...], tuple[Unusable, ...]]:
    """The items whose price holds on a day, in their order, and those that cannot be used.

    Prices that were replaced, or are to come while another holds, are in neither.
    """
    latest: dict[tuple[str, str], date] = {}
    for item in items:
        if _has_terms(item) and _holds(item, day):
            identity = (item.supplier, item.number)
            since = item.valid_from or date.min
            latest[identity] = max(since, latest.get(identity, date.min))
    kept: list[Item] = []
    sold: set[tuple[str, str]] = set()
    for item in items:
        identity = (item.supplier, item.number)
        newest = latest.get(identity)
        if _holds(item, day) and (newest is None or (item.valid_from or date.min) == newest):
            sold.add(identity)
            if not item.discontinued:
                kept.append(item)
    unusable = [
        Unusable(item, why)
        for item in items
        if _has_terms(item) and (why := _why(item, day, sold)) is not None
    ]
    return tuple(kept), tuple(unusable)


def on_day(lists: Sequence[PriceList], day: date) -> OnDay:
    """The price lists as they can be bought from on a day."""
    found: list[PriceList] = []
    findings: list[Finding] = []
    by_part: dict[Key, list[Unusable]] = defaultdict(list)
    for price_list in lists:
        if not depends_on_day((price_list,)):
            found.append(price_list)
            continue
        items, unusable = valid_on(price_list.items, day)
        found.append(replace(price_list, items=items))
        findings += _findings(price_list, unusable, day)
        for each in unusable:
            item = each.item
            by_part[key_of(item.kind, item.unit, item.attributes)].append(each)
    return OnDay(
        day, tuple(found), {key: tuple(each) for key, each in by_part.items()}, tuple(findings)
    )


def stale_parts(purchases: Iterable[Purchase], dated: OnDay) -> tuple[Finding, ...]:
    """A finding for each unpriced part that a price list has, but not at a price of the day."""
    return tuple(
        _stale(purchase.part, found, dated.day)
        for purchase in purchases
        if purchase.match == "unpriced" and (found := dated.unusable.get(_key(purchase.part), ()))
    )


def ending_prices(purchases: Iterable[Purchase], last_day: date) -> tuple[Finding, ...]:
    """One finding for the prices used that run out before the quote does.

    last_day: on which the quote can still be accepted.
    """
    ending = {
        (bought.item.supplier, bought.item.number): bought.item
        for purchase in purchases
        for bought in purchase.bought
        if bought.item.valid_until is not None and bought.item.valid_until < last_day
    }
    if not ending:
        return ()
    items = sorted(ending.values(), key=lambda item: (str(item.valid_until), item.number))
    named = "; ".join(f"item {item.number} on {item.valid_until}" for item in items[:_NAMED_ITEMS])
    more = f"; and {len(items) - _NAMED_ITEMS} more" if len(items) > _NAMED_ITEMS else ""
    return (
        Finding(
            "note",
            "PRICE_ENDS_BEFORE_QUOTE",
            f"The quote can be accepted until {last_day}, but {len(items)} of the prices in it "
            f"run out before: {named}{more}.",
            "/terms/valid_days",
            "price_list",
            "Let the quote end earlier, or order these parts in time.",
        ),
    )


def _key(part: Part) -> Key:
    return key_of(part.kind, part.unit, part.attributes)


def _has_terms(item: Item) -> bool:
    return item.discontinued or item.valid_from is not None or item.valid_until is not None


def _holds(item: Item, day: date) -> bool:
    since, until = item.valid_from, item.valid_until
    return (since is None or since <= day) and (until is None or day <= until)


def _why(item: Item, day: date, sold: set[tuple[str, str]]) -> Why | None:
    if item.discontinued:
        return "discontinued" if _holds(item, day) else None
    if _holds(item, day) or (item.supplier, item.number) in sold:
        return None
    return "out of date" if item.valid_until is not None and item.valid_until < day else (
        "not yet valid"
    )  # fmt: skip


def _stale(part: Part, found: Sequence[Unusable], day: date) -> Finding:
    each = found[0]
    told = _told(each)
    return Finding(
        "warning",
        _CODES[each.why],
        f"{part.description} is unpriced: {each.item.supplier} has it, but on {day} {told}.",
        "",
        "price_list",
        _REMEDIES[each.why],
    )


def _told(each: Unusable) -> str:
    item = each.item
    if each.why == "out of date":
        return f"the price of item {item.number} ran out on {item.valid_until}"
    if each.why == "not yet valid":
        return f"the price of item {item.number} holds only from {item.valid_from}"
    replaced = f", replaced by {item.replaced_by}" if item.replaced_by else ""
    return f"item {item.number} is discontinued{replaced}"


_CODES: Mapping[Why, str] = {
    "out of date": "PRICE_OUT_OF_DATE",
    "not yet valid": "PRICE_NOT_YET_VALID",
    "discontinued": "ITEM_DISCONTINUED",
}
_REMEDIES: Mapping[Why, str] = {
    "out of date": "Ask the supplier for the current list.",
    "not yet valid": "Ask the supplier what holds until then.",
    "discontinued": "Use the replacement where one is named, or another supplier.",
}
_SENTENCES: Mapping[Why, str] = {
    "out of date": "ran out before",
    "not yet valid": "do not hold yet on",
    "discontinued": "are of items discontinued on",
}


def _findings(price_list: PriceList, unusable: Sequence[Unusable], day: date) -> Iterable[Finding]:
    for why, code in _CODES.items():
        found = [each for each in unusable if each.why == why]
        if not found:
            continue
        named = "; ".join(_told(each) for each in found[:_NAMED_ITEMS])
        more = f"; and {len(found) - _NAMED_ITEMS} more" if len(found) > _NAMED_ITEMS else ""
        yield Finding(
            "warning",
            code,
            f"{len(found)} prices of {price_list.name} {_SENTENCES[why]} {day}; they were not "
            f"used: {named}{more}.",
            "",
            "price_list",
            _REMEDIES[why],
        )
