"""Matches that a person confirmed: a CSV of supplier, item number, kind and attributes."""

from collections.abc import Mapping, Sequence

from estimator.catalogue.attributes import AttributeReader
from estimator.catalogue.decode import decode, refuse
from estimator.catalogue.describe_row import Confirmed
from estimator.catalogue.header import DELIMITERS, rows_of
from estimator.finding import Fault, InputRefused
from estimator.takeoff.part_kinds import PartKinds
from estimator.takeoff.records import Attributes

COLUMNS = ("supplier", "item number", "kind", "attributes")
MAX_ROWS = 100_000


def read_confirmed(data: bytes, name: str, kinds: PartKinds) -> Confirmed:
    """What items are, by supplier and item number.

    The first row names the columns, in any order; others are passed over. attributes: all
    those of the kind, "size=10 AWG; material=cu; ...". Raises InputRefused with every fault:
    a missing column, a blank or unknown cell, one item confirmed as two different parts.
    """
    place, rows = _table(decode(data, name), name)
    reader = AttributeReader(kinds)
    found: dict[tuple[str, str], tuple[str, Attributes]] = {}
    faults: list[Fault] = []
    for number, cells in rows:
        cell = {
            column: cells[at].strip() if at < len(cells) else "" for column, at in place.items()
        }
        try:
            identity, part = _match(cell, reader)
        except ValueError as error:
            faults.append(Fault(f"{name}, row {number}", str(error)))
            continue
        if found.setdefault(identity, part) != part:
            message = f"{cell['item number']!r} is confirmed above as another part; keep one row"
            faults.append(Fault(f"{name}, row {number}", message))
    if faults:
        raise InputRefused("confirmed matches", tuple(faults))
    return found


def _table(text: str, name: str) -> tuple[Mapping[str, int], Sequence[tuple[int, list[str]]]]:
    for delimiter in DELIMITERS:
        rows = list(enumerate(rows_of(text, delimiter), start=1))
        head = [cell.strip().casefold().replace("_", " ") for cell in rows[0][1]]
        if all(head.count(column) == 1 for column in COLUMNS):
            if len(rows) > MAX_ROWS:
                raise refuse(name, f"more than {MAX_ROWS:,} rows; split the file")
            place = {column: head.index(column) for column in COLUMNS}
            return place, [row for row in rows[1:] if any(cell.strip() for cell in row[1])]
    raise refuse(name, f"the first row must name the columns {', '.join(COLUMNS)}, each once")


def _match(
    cell: Mapping[str, str], reader: AttributeReader
) -> tuple[tuple[str, str], tuple[str, Attributes]]:
    blank = [column for column in COLUMNS[:2] if not cell[column]]
    if blank:
        raise ValueError(f"{' and '.join(blank)} is blank")
    kind = cell["kind"].casefold().replace(" ", "_")
    attributes = reader.read(kind, cell["attributes"])
    return (cell["supplier"].casefold(), cell["item number"]), (kind, attributes)
