"""A price list of any size, invented: real kinds of parts among goods that no job asks for."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from estimator.catalogue.records import Item, PriceList


def big_list(samples: list[Item], count: int) -> Iterator[Item]:
    """Items like the samples; most are of sizes and makes that no job asks for.

    One in a hundred is a sample under another number and price, so that a part has tens of
    offers in a list of a million.
    """
    for place in range(1, count + 1):
        sample = samples[place % len(samples)]
        attributes = sample.attributes
        if place % 100:
            name, value = attributes[0]
            attributes = ((name, f"{value} {place % 49_999}"), *attributes[1:])
        yield replace(
            sample,
            number=f"B{place:07}",
            row=place + 1,
            attributes=attributes,
            unit_price=sample.unit_price + Decimal(place % 997) / 10_000,
        )


def big_price_list(samples: list[Item]) -> PriceList:
    """What the list holds beside its items."""
    return PriceList("big.csv", "Invented Wholesale", "0" * 64, tuple(samples[:0]), 0, (), 0)
