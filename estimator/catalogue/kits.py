"""What a kit holds, as a price list writes it in its column covers.

Parts stand between bars, each with its quantity after a last " x ":

    power_inlet: configuration=L14-30; ... x 1 | cable_label: text=... x 2

A quantity counts the kind's own unit: pieces, or feet for goods by length. It is never left out,
so that a value may hold " x " itself.
"""

from decimal import Decimal

from estimator.catalogue.attributes import AttributeReader
from estimator.catalogue.figures import MAX_PACK, shortened
from estimator.catalogue.records import Covered

KIT = "kit"
_BETWEEN = "|"
_TIMES = " x "


def read_covers(cell: str, reader: AttributeReader) -> tuple[Covered, ...]:
    """The parts in a kit; empty for a blank cell.

    Raises ValueError naming all parts that cannot be read, and those that stand twice.
    """
    if not cell.strip():
        return ()
    covered: list[Covered] = []
    wrong: list[str] = []
    for text in cell.split(_BETWEEN):
        if not text.strip():
            continue
        try:
            part = _covered(text.strip(), reader)
        except ValueError as error:
            wrong.append(f"{shortened(text)}: {error}")
            continue
        if any(part.kind == o.kind and part.attributes == o.attributes for o in covered):
            wrong.append(f"{shortened(text)} stands twice; add the quantities")
        covered.append(part)
    if wrong:
        raise ValueError("; ".join(wrong))
    return tuple(covered)


def _covered(text: str, reader: AttributeReader) -> Covered:
    part, times, count = text.rpartition(_TIMES)
    if not times:
        raise ValueError('has no quantity. Write " x 1" after the attributes')
    kind, colon, attributes = part.partition(":")
    if not colon:
        raise ValueError('has no ":" between kind and attributes')
    quantity = _quantity(count.strip())
    name = kind.strip().casefold().replace(" ", "_")
    return Covered(name, reader.read(name, attributes), quantity)


def _quantity(text: str) -> Decimal:
    digits = text.replace(".", "", 1)
    if not (text.isascii() and digits.isdigit() and len(text) <= 9):
        raise ValueError(f"{shortened(text)} is not a quantity. Write x 2 after the attributes")
    found = Decimal(text)
    if not 0 < found <= MAX_PACK or found * 10_000 % 1:
        raise ValueError(f"{shortened(text)} is not a quantity above zero")
    return found
