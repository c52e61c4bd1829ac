"""What suppliers ask beside their prices: a CSV of minimum orders and delivery fees."""

import re
from collections.abc import Mapping
from decimal import Decimal

from estimator.catalogue.decode import decode, refuse
from estimator.catalogue.header import DELIMITERS, rows_of
from estimator.catalogue.records import SupplierTerms
from estimator.finding import Fault, InputRefused

COLUMNS = ("supplier", "minimum order", "delivery fee", "free delivery from", "currency")
MAX_ROWS = 200
MAX_MONEY = Decimal(10_000_000)
_MONEY = re.compile(r"[0-9]{1,9}(\.[0-9]{1,2})?")
_CURRENCY = re.compile(r"[A-Z]{3}")


def read_supplier_terms(data: bytes, name: str) -> tuple[SupplierTerms, ...]:
    """Terms in the order of their rows.

    The first row names the columns, in any order; others are passed over. A blank minimum or
    fee is none; a blank free delivery from means that the fee is always due. Money is plain,
    such as 150.00, in the currency of the row. Raises InputRefused with every fault: a missing
    column, a cell that cannot be read, a supplier that stands twice.
    """
    faults: list[Fault] = []
    found: dict[str, SupplierTerms] = {}
    for number, cell in _rows(decode(data, name), name):
        row_faults: list[Fault] = []
        terms = _terms(cell, f"{name}, row {number}", row_faults)
        if not row_faults and terms.supplier.casefold() in found:
            message = f"{terms.supplier!r} stands above already; keep one row of each supplier"
            row_faults.append(Fault(f"{name}, row {number}, column supplier", message))
        faults += row_faults
        found.setdefault(terms.supplier.casefold(), terms)
    if not found and not faults:
        raise refuse(name, "there is no supplier below the names of the columns")
    if faults:
        raise InputRefused("supplier terms", tuple(faults))
    return tuple(found.values())


def _rows(text: str, name: str) -> list[tuple[int, Mapping[str, str]]]:
    for delimiter in DELIMITERS:
        rows = list(rows_of(text, delimiter))
        head = [cell.strip().casefold().replace("_", " ") for cell in rows[0]]
        if all(head.count(column) == 1 for column in COLUMNS):
            if len(rows) > MAX_ROWS + 1:
                raise refuse(name, f"more than {MAX_ROWS} suppliers; keep those that you buy from")
            place = {column: head.index(column) for column in COLUMNS}
            return [
                (number, {column: _cell(cells, at) for column, at in place.items()})
                for number, cells in enumerate(rows[1:], start=2)
                if any(cell.strip() for cell in cells)
            ]
    raise refuse(name, f"the first row must name the columns {', '.join(COLUMNS)}, each once")


def _cell(cells: list[str], at: int) -> str:
    return cells[at].strip() if at < len(cells) else ""


def _terms(cell: Mapping[str, str], where: str, faults: list[Fault]) -> SupplierTerms:
    if not cell["supplier"]:
        faults.append(Fault(f"{where}, column supplier", "is blank; write the supplier's name"))
    if not _CURRENCY.fullmatch(cell["currency"]):
        message = f"{cell['currency'][:20]!r} is not a currency; write three capitals, such as USD"
        faults.append(Fault(f"{where}, column currency", message))
    free = cell["free delivery from"]
    return SupplierTerms(
        supplier=cell["supplier"],
        minimum_order=_money(cell, "minimum order", where, faults),
        delivery_fee=_money(cell, "delivery fee", where, faults),
        free_delivery_from=_money(cell, "free delivery from", where, faults) if free else None,
        currency=cell["currency"],
    )


def _money(cell: Mapping[str, str], column: str, where: str, faults: list[Fault]) -> Decimal:
    text = cell[column] or "0"
    amount = Decimal(text) if _MONEY.fullmatch(text) else MAX_MONEY + 1
    if amount > MAX_MONEY:
        message = f"{text[:20]!r} is not an amount up to {MAX_MONEY:,}; write it as 150.00"
        faults.append(Fault(f"{where}, column {column}", message))
        return Decimal(0)
    return amount
