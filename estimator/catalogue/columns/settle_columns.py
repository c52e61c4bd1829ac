"""Which column holds what: what a person told first, then the head, then the cells."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from estimator.catalogue.columns.content import MOST_SAMPLED, SURE, Look, looks_of
from estimator.catalogue.columns.head_row import Head
from estimator.catalogue.columns.header_words import normal_head
from estimator.catalogue.columns.mapping import (
    ColumnMapping,
    Grounds,
    MappedColumn,
    ToldColumn,
    ToldMapping,
    letter_of,
)
from estimator.catalogue.files.table import Table
from estimator.catalogue.header import PRICES, REQUIRED, Column

INSTEAD: tuple[Column, ...] = ("kind", "attributes")
# Of these the cells alone do not decide: a wrong one would give wrong money without a sign.
_MONEY: frozenset[Column] = frozenset({"price", "per"})
# In this order columns without a known head are looked for.
_BY_CONTENT: tuple[Column, ...] = (
    "attributes", "kind", "gtin", "currency", "price", "per", "description", "item number",
)  # fmt: skip
# A column that a head names is not taken from it where almost none of its cells fit.
_HARDLY = 0.2
_WHAT: Mapping[Column, str] = {
    "gtin": "GTINs with a right check digit",
    "price": "amounts of money",
    "per": "units",
    "description": "texts of several words",
    "attributes": "attributes (name=value)",
    "kind": "kinds of part",
    "currency": "currency codes",
    "item number": "item numbers",
}


class TwiceNamed(Exception):
    """A column that stands twice, where the cells do not tell which one counts."""

    def __init__(self, column: Column, letters: Sequence[str]) -> None:
        super().__init__(column)
        self.column = column
        self.letters = tuple(letters)


@dataclass(frozen=True, slots=True)
class _Said:
    column: Column | None
    grounds: Grounds
    because: str


def settle_columns(
    table: Table, head: Head, told: ToldMapping, kinds: frozenset[str], widest: int
) -> ColumnMapping:
    """The columns of a table. head: its row is 0 where the table has none.

    widest: columns that are looked at. Raises TwiceNamed.
    """
    rows = [row[:widest] for row in _sample(table, head)]
    width = max([len(head.cells), *map(len, rows)], default=0)
    heads = [*head.cells, *[""] * (width - len(head.cells))]
    looks = looks_of(rows, width, kinds)
    of_sheet = [each for each in told.columns if each.sheet in ("", table.sheet)]
    said = _named(head, heads, looks, of_sheet)
    always = tuple(
        (each.column, each.value) for each in of_sheet if each.value and each.column is not None
    )
    proposed: dict[int, Column] = {}
    _by_content(said, looks, {column for column, _ in always}, proposed)
    columns = tuple(
        _mapped(at, heads[at], said.get(at), looks[at], proposed.get(at)) for at in range(width)
    )
    return ColumnMapping(table.sheet, head.row, columns, always)


def missing_columns(mapping: ColumnMapping) -> list[Column]:
    """Needed columns that a table does not have."""
    has = {*mapping.place, *(column for column, _ in mapping.always)}
    instead: tuple[Column, ...] = INSTEAD if "description" in has and is_described(has) else ()
    if "covers" in has:
        # A kit has no attributes; a row of other goods is told that they are missing.
        instead = (*instead, "attributes")
    if has.intersection(PRICES):
        instead = (*instead, "price")
    return [column for column in REQUIRED if column not in has and column not in instead]


def is_described(columns: set[Column] | Mapping[Column, object]) -> bool:
    """Whether what is sold stands in the description alone."""
    return not any(column in columns for column in INSTEAD)


def _sample(table: Table, head: Head) -> list[list[str]]:
    """Rows below the head that are more than a title."""
    rows = islice(table.rows(), head.row, head.row + 5 * MOST_SAMPLED)
    return list(islice((row for row in rows if sum(map(bool, row)) > 2), MOST_SAMPLED))


def _named(
    head: Head, heads: Sequence[str], looks: Sequence[Look], told: Sequence[ToldColumn]
) -> dict[int, _Said]:
    meant = {at: each for each in told if not each.value for at in _meant(each, heads)}
    said: dict[int, _Said] = {}
    for at, text in enumerate(heads):
        if at in meant:
            said[at] = _Said(meant[at].column, "told", "A person said so.")
        elif at in head.named:
            said[at] = _Said(head.named[at], "head", f"Its head is {text.strip()!r}.")
    for column in dict.fromkeys(each.column for each in said.values()):
        if column is not None:
            _keep_one(column, said, looks)
    return said


def _meant(told: ToldColumn, heads: Sequence[str]) -> list[int]:
    """The positions that a person meant: by head, by letter where heads are alike or blank."""
    if not told.head:
        return [at for at in range(len(heads)) if letter_of(at) == told.letter]
    alike = [at for at, head in enumerate(heads) if normal_head(head) == normal_head(told.head)]
    if len(alike) > 1 and told.letter:
        return [at for at in alike if letter_of(at) == told.letter]
    return alike


def _keep_one(column: Column, said: dict[int, _Said], looks: Sequence[Look]) -> None:
    """Of several columns with one name keep the one that was told, or whose cells fit alone."""
    places = [at for at, each in said.items() if each.column == column]
    if len(places) < 2:
        return
    told = [at for at in places if said[at].grounds == "told"]
    fit = told or [at for at in places if looks[at].share(column) >= SURE]
    others = [at for at in places if at not in fit]
    if len(fit) != 1 or (not told and any(looks[at].share(column) > _HARDLY for at in others)):
        raise TwiceNamed(column, [letter_of(at) for at in places])
    for at in others:
        del said[at]


def _by_content(
    said: dict[int, _Said],
    looks: Sequence[Look],
    always: set[Column],
    proposed: dict[int, Column],
) -> None:
    """Add what the cells of columns without a known head look like."""
    free = {at for at in range(len(looks)) if at not in said and looks[at].examples}
    taken = always | {each.column for each in said.values() if each.column is not None}
    for column in _BY_CONTENT:
        if column in taken or not _is_wanted(column, taken):
            continue
        fit = [at for at in free if looks[at].shares.of(column) >= SURE]
        best = _best(column, fit, looks)
        if best is None:
            continue
        free.discard(best)
        if column in _MONEY:
            proposed[best] = column
        else:
            taken.add(column)
            what = _WHAT[column]
            share = round(100 * looks[best].shares.of(column))
            said[best] = _Said(column, "content", f"{share} % of its cells are {what}.")


def _is_wanted(column: Column, taken: set[Column]) -> bool:
    if column == "price":
        return not taken.intersection(PRICES)
    return column != "description" or is_described(taken)


def _best(column: Column, fit: list[int], looks: Sequence[Look]) -> int | None:
    """The one column that fits; None where there are several that nothing tells apart."""
    if column == "description":
        return max(fit, key=lambda at: looks[at].length, default=None)
    if column == "item number":
        # Each item has its own number, in every row.
        fit = [at for at in fit if looks[at].different >= SURE and looks[at].filled >= SURE]
    return fit[0] if len(fit) == 1 else None


def _mapped(
    at: int, head: str, said: _Said | None, look: Look, proposed: Column | None
) -> MappedColumn:
    if proposed is not None:
        share = look.shares.of(proposed)
        because = (
            f"{round(100 * share)} % of its cells are {_WHAT[proposed]}, but its head does not "
            "say so. Of money and units a person has to"
        )
        return MappedColumn(at, head, None, "none", f"{because}.", share, proposed, look.examples)
    if said is None:
        return MappedColumn(at, head, None, "none", "Nothing tells.", 0.0, None, look.examples)
    share = 1.0 if said.column is None else look.share(said.column)
    return MappedColumn(
        at, head, said.column, said.grounds, said.because, share, None, look.examples
    )
