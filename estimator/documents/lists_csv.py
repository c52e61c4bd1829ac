"""Parts, purchase, labour and findings as comma-separated values, for other programs.

Texts that a spreadsheet would run get an apostrophe in front.
"""

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence

from estimator.documents.cell_text import cell_text, looks_like_a_command
from estimator.documents.records import FullEstimate
from estimator.units import plain

Row = Sequence[object]


def list_csv(name: str, estimate: FullEstimate) -> str:
    """One of LISTS as CSV text with a head row. Raises KeyError for another name."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerows([_safe(cell) for cell in row] for row in LISTS[name](estimate))
    return text.getvalue()


def _safe(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    clean = cell_text(cell)
    return f"'{clean}" if looks_like_a_command(clean) and not _is_number(clean) else clean


def _is_number(text: str) -> bool:
    return text.lstrip("-").replace(".", "", 1).isdigit()


def _parts(estimate: FullEstimate) -> Iterator[Row]:
    yield ("kind", "attributes", "description", "quantity", "unit", "cuts_ft", "asked_by")
    for part in estimate.take_off.parts:
        yield (
            part.kind,
            "; ".join(f"{name}={value}" for name, value in part.attributes),
            part.description,
            plain(part.quantity),
            part.unit,
            " ".join(plain(cut) for cut in part.cuts_ft),
            " ".join(part.asked_by),
        )


def _purchase(estimate: FullEstimate) -> Iterator[Row]:
    yield (
        "supplier", "item", "description", "packs", "pack", "quantity", "unit", "unit_price",
        "amount", "currency", "leftover", "match",
    )  # fmt: skip
    for line in estimate.price.lines:
        yield (
            line.supplier,
            line.item,
            line.description,
            line.packs,
            "" if line.pack is None else plain(line.pack),
            plain(line.quantity_bought),
            line.unit,
            "" if line.unit_price is None else str(line.unit_price),
            "" if line.amount is None else str(line.amount),
            estimate.price.currency,
            plain(line.leftover),
            line.match,
        )


def _labour(estimate: FullEstimate) -> Iterator[Row]:
    yield ("code", "task", "quantity", "unit", "hours_low", "hours", "hours_high")
    for task in estimate.take_off.labour:
        hours = (task.hours_low, task.hours, task.hours_high)
        yield (task.code, task.task, plain(task.quantity), task.unit, *map(plain, hours))


def _findings(estimate: FullEstimate) -> Iterator[Row]:
    yield ("severity", "code", "where", "message", "remedy", "source")
    for one in estimate.findings:
        yield (one.severity, one.code, one.where, one.message, one.remedy, one.source)


LISTS: Mapping[str, Callable[[FullEstimate], Iterator[Row]]] = {
    "parts": _parts,
    "purchase": _purchase,
    "labour": _labour,
    "findings": _findings,
}
