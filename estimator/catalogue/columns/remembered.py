"""Mappings that persons corrected, kept for the next list of the same supplier and head."""

from collections.abc import Sequence

from estimator.catalogue.columns.mapping import ColumnMapping, Remembered, ToldMapping


def remember(
    known: Remembered, supplier: str, told: ToldMapping, mappings: Sequence[ColumnMapping]
) -> dict[tuple[str, str], ToldMapping]:
    """What is known, with what was told of a list. mappings: of its sheets, as it was read."""
    return {**known, **{(_name(supplier), mapping.key): told for mapping in mappings}}


def recall(known: Remembered, supplier: str, head: str) -> ToldMapping | None:
    """What was told of a list of the supplier with this head (see ``mapping.head_key``)."""
    return known.get((_name(supplier), head))


def _name(supplier: str) -> str:
    return " ".join(supplier.casefold().split())
