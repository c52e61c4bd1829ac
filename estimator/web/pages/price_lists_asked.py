"""What a person chose of the columns of a price list, as the form or the address tells it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from werkzeug.datastructures import MultiDict

_LONGEST = 200
# What may hold for every row, or how the whole list is written: field, words, choices.
FOR_ALL: Sequence[tuple[str, str, tuple[str, ...]]] = (
    ("per", "Every price is for", ("EA", "C", "M", "FT", "CFT", "MFT")),
    ("currency", "Currency of every price", ()),
    ("multiplier", "List prices are multiplied by", ()),
    ("price class", "Our class of customer", ("1", "2", "3", "4", "5")),
    ("letter m", "The unit M means", ("thousand", "metre")),
    ("date order", "Dates begin with the", ("day first", "month first")),
    ("quantities count", "Quantities for lower prices count", ("units", "packs")),
)


@dataclass(frozen=True, slots=True)
class AskedColumns:
    """What was chosen on the page. columns: by sheet and position, both from 0, "" for one that
    is passed over. heads: number of the head row by sheet, as text. for_all: by field. moved:
    the head row was changed, so that the columns have to be looked at first.
    """

    supplier: str = ""
    name: str = ""
    columns: Mapping[tuple[int, int], str] = field(default_factory=dict)
    heads: Mapping[int, str] = field(default_factory=dict)
    for_all: Mapping[str, str] = field(default_factory=dict)
    moved: bool = False


def read_asked(values: MultiDict[str, str]) -> AskedColumns:
    """The choices of a form or an address; what is not among them was not asked.

    Where the form tells another head row than it was made with, its columns are of no use.
    """
    columns: dict[tuple[int, int], str] = {}
    heads: dict[int, str] = {}
    for_all: dict[str, str] = {}
    for name, value in values.items():
        text = _typed(value)
        kind, _, rest = name.partition(".")
        places = rest.split(".")
        if kind == "column" and len(places) == 2 and all(map(_small, places)):
            columns[int(places[0]), int(places[1])] = text
        elif kind == "head" and _small(rest):
            heads[int(rest)] = text
        elif kind == "all" and rest in {each for each, _, _ in FOR_ALL}:
            for_all[rest] = text
    moved = any(values.get(f"shown.{at}", row).strip() != row for at, row in heads.items())
    return AskedColumns(
        supplier=_typed(values.get("supplier", "")),
        name=_typed(values.get("name", "")),
        columns={} if moved else columns,
        heads={at: row for at, row in heads.items() if row},
        for_all=for_all,
        moved=moved,
    )


def _typed(text: str) -> str:
    return "".join(letter for letter in text[:_LONGEST] if letter.isprintable()).strip()


def _small(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 4
