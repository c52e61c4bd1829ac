"""Items that are likely a part but that a person has yet to confirm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.catalogue.match import ItemIndex, Offer, key_of, without_dominated
from estimator.catalogue.may_differ import looks_apart
from estimator.catalogue.records import Item, Purchase
from estimator.takeoff.records import Part

# Of a reading that takes nothing for granted: one. Each doubt takes some of it away.
SURE = Decimal(1)
FOR_EACH_SUPPOSED = Decimal("0.05")
FOR_EACH_DIFFERENCE = Decimal("0.10")


@dataclass(frozen=True, slots=True)
class Doubt:
    """How sure a proposal is, 1 at most, and why it is one."""

    score: Decimal
    reasons: tuple[str, ...]


def proposed_offers(part: Part, index: ItemIndex) -> tuple[Offer, ...]:
    """Offers that may serve a part which no known item is; empty when there are none.

    First those whose description reads exactly as the part, then those of one colour that
    differs for looks only.
    """
    return without_dominated(likely_offers(part, index))


def likely_offers(part: Part, index: ItemIndex) -> Sequence[Offer]:
    """The same, with those that no cheapest purchase needs."""
    described = index.described.get(key_of(part.kind, part.unit, part.attributes), ())
    if described:
        return described
    apart = looks_apart(part.kind, part.attributes)
    near = index.near.get(key_of(part.kind, part.unit, apart), ()) if apart is not None else ()
    if not near:
        return ()
    # Offers of one look only: cuts of two colours for one purpose would puzzle the installer.
    first = near[0].item
    return [
        offer
        for offer in near
        if offer.item.attributes == first.attributes
        and (offer.item.read_from == "description") == (first.read_from == "description")
    ]


def doubt(part: Part, items: Sequence[Item]) -> Doubt:
    """Why items are only proposed for a part."""
    reasons = tuple(dict.fromkeys(reason for item in items for reason in _reasons(part, item)))
    score = min(
        SURE
        - FOR_EACH_SUPPOSED * len(item.supposed)
        - FOR_EACH_DIFFERENCE * len(list(_differences(part, item)))
        for item in items
    )
    return Doubt(max(score, Decimal(0)), reasons)


def as_proposed(purchase: Purchase) -> Purchase:
    """The same purchase, marked as one that a person has to confirm."""
    found = doubt(purchase.part, [bought.item for bought in purchase.bought])
    return replace(purchase, match="proposed", score=found.score, reasons=found.reasons)


def _differences(part: Part, item: Item) -> Iterator[str]:
    for (name, wanted), (_, offered) in zip(part.attributes, item.attributes, strict=True):
        if wanted.casefold() != offered.casefold():
            yield f"{name} is {offered}, not {wanted}, which is a matter of looks"


def _reasons(part: Part, item: Item) -> Iterator[str]:
    if item.read_from == "description":
        yield f"item {item.number} is read from its description {item.description!r}"
    yield from _differences(part, item)
    yield from item.supposed
