"""What a row says beside goods and price: dates, lead time, status, replacement, GTIN."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from estimator.catalogue.availability import read_discontinued, read_lead_time
from estimator.catalogue.dates import read_date
from estimator.catalogue.gtin import read_gtin
from estimator.catalogue.header import Column
from estimator.catalogue.row_faults import ColumnFault

COLUMNS: tuple[Column, ...] = (
    "valid from", "valid until", "lead time", "status", "replaced by", "gtin",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ItemTerms:
    """faults keep the row from being an item; doubts leave only their own cell out."""

    valid_from: date | None = None
    valid_until: date | None = None
    lead_time_days: int | None = None
    discontinued: bool = False
    replaced_by: str = ""
    gtin: str = ""
    faults: tuple[ColumnFault, ...] = ()
    doubts: tuple[ColumnFault, ...] = ()


NO_TERMS = ItemTerms()


def read_item_terms(cell: Mapping[Column, str], day_first: bool | None) -> ItemTerms:
    """The terms of a row.

    A price without dates always holds. A date or status that cannot be read may mean that the
    price does not hold, so the row is not used; a GTIN or lead time that cannot be read is
    left out, since the price is right without it.
    """
    faults: list[ColumnFault] = []
    doubts: list[ColumnFault] = []
    since = _date(cell, "valid from", day_first, faults)
    until = _date(cell, "valid until", day_first, faults)
    if since is not None and until is not None and until < since:
        faults.append(("valid until", f"{until} is before {since}, from which the price holds"))
    replaced_by = cell.get("replaced by", "")
    discontinued = False
    try:
        discontinued = read_discontinued(cell.get("status", ""), bool(replaced_by))
    except ValueError as error:
        faults.append(("status", str(error)))
    lead_time: int | None = None
    try:
        lead_time = read_lead_time(cell.get("lead time", ""))
    except ValueError as error:
        doubts.append(("lead time", f"{error}. It was left out"))
    gtin = ""
    try:
        gtin = read_gtin(cell.get("gtin", ""))
    except ValueError as error:
        doubts.append(("gtin", f"{error}. It was left out"))
    return ItemTerms(
        since, until, lead_time, discontinued, replaced_by, gtin, tuple(faults), tuple(doubts)
    )


def _date(
    cell: Mapping[Column, str], column: Column, day_first: bool | None, faults: list[ColumnFault]
) -> date | None:
    try:
        return read_date(cell.get(column, ""), day_first)
    except ValueError as error:
        faults.append((column, str(error)))
        return None
