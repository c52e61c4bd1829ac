"""The check-up of price lists, as text for a terminal and as JSON-ready objects."""

from collections import Counter
from collections.abc import Iterator
from typing import Any, get_args

from estimator.catalogue.check import CatalogueCheck, ListCheck
from estimator.catalogue.columns.mapping_file import mapping_document
from estimator.catalogue.list_sheets import place
from estimator.catalogue.records import MatchKind, PriceList, Purchase, ReadFrom
from estimator.units import plain

Json = dict[str, Any]
_MATCHES: tuple[MatchKind, ...] = get_args(MatchKind)
_READ_FROM: tuple[ReadFrom, ...] = get_args(ReadFrom)
_ROWS_SHOWN = 20


def catalogue_check_text(check: CatalogueCheck) -> str:
    """Reading, units, matches and coverage, in this order."""
    lines: list[str] = []
    for each in check.lists:
        lines += [*_list_lines(each), ""]
    lines += [*_coverage_lines(check), ""]
    if check.findings:
        lines += ["Findings", "--------"]
        for finding in check.findings:
            lines += [f"{finding.severity.upper()} {finding.code}", f"    {finding.message}"]
            lines.append(f"    -> {finding.remedy}")
    return "\n".join(lines).rstrip() + "\n"


def catalogue_check_document(check: CatalogueCheck) -> Json:
    """The same, each row that was left out included."""
    return {
        "lists": [_list_document(each) for each in check.lists],
        "jobs": list(check.jobs),
        "coverage": {
            "parts": len(check.matches),
            **{match: sum(each.match == match for each in check.matches) for match in _MATCHES},
        },
        "matches": [_match_document(purchase) for purchase in check.matches],
        "findings": [
            {
                "severity": finding.severity,
                "code": finding.code,
                "message": finding.message,
                "remedy": finding.remedy,
            }
            for finding in check.findings
        ],
    }


def _list_lines(each: ListCheck) -> Iterator[str]:
    price_list = each.price_list
    title = f"{price_list.name} ({price_list.supplier})"
    yield title
    yield "-" * len(title)
    yield (
        f"{price_list.rows_read} rows: {len(price_list.items)} items, "
        f"{price_list.rows_rejected} with faults, {len(price_list.unread)} not understood"
    )
    if each.read_from:
        yield "Kinds read from: " + _counts(each.read_from)
    if each.price_basis:
        yield "Prices are for: " + _counts(each.price_basis)
    yield from _reading_lines(price_list)
    for fault in price_list.rejected[:_ROWS_SHOWN]:
        yield f"  {fault.where}: {fault.message}"
    yield from _more(len(price_list.rejected))
    for doubt in price_list.doubts[:_ROWS_SHOWN]:
        yield f"  {doubt.where}: {doubt.message}"
    yield from _more(len(price_list.doubts))
    for row in price_list.unread[:_ROWS_SHOWN]:
        named = f"{place(row.sheet, row.row)}, item {row.number}, {row.description!r}"
        yield f"  {named}: not understood: {row.why}"
    yield from _more(len(price_list.unread))


def _reading_lines(price_list: PriceList) -> Iterator[str]:
    """How the file was read: columns by sheet, what was concluded, what was passed over."""
    for mapping in price_list.mappings:
        used = [f"{each.letter} {each.column}" for each in mapping.columns if each.column]
        unused = [each.head.strip() or each.letter for each in mapping.columns if not each.column]
        place = f"Sheet {mapping.sheet}, columns: " if mapping.sheet else "Columns: "
        yield place + ", ".join(used) + (f"; not used: {', '.join(unused)}" if unused else "")
    yield from price_list.read_as
    kinds = Counter(row.why for row in price_list.passed_over)
    if kinds or price_list.rows_blank:
        told = ", ".join(f"{why} {count}" for why, count in sorted(kinds.items()))
        yield (
            f"{price_list.rows_in_file} rows in the file; passed over: {told}; "
            f"blank {price_list.rows_blank}"
        )
    for sheet in price_list.left_out:
        yield f"Sheet {sheet.sheet} was left out: {sheet.why}"


def _more(count: int) -> Iterator[str]:
    if count > _ROWS_SHOWN:
        yield f"  and {count - _ROWS_SHOWN} more"


def _counts(counts: Any) -> str:
    return ", ".join(f"{name.replace('_', ' ')} {count}" for name, count in sorted(counts.items()))


def _coverage_lines(check: CatalogueCheck) -> Iterator[str]:
    title = "1 job" if len(check.jobs) == 1 else f"{len(check.jobs)} jobs"
    yield f"Parts of {title}"
    yield "-" * len(f"Parts of {title}")
    yield f"Looked for what these need: {', '.join(check.jobs)}"
    parts = len(check.matches)
    served = parts - check.count("unpriced")
    percent = served * 100 // parts if parts else 0
    told = ", ".join(f"{check.count(match)} {match}" for match in _MATCHES)
    yield f"{served} of {parts} different parts have a price ({percent} %): {told}"
    for purchase in check.matches:
        if purchase.match == "unpriced":
            yield f"  unpriced: {purchase.part.description}"
    for purchase in check.matches:
        if purchase.match == "proposed":
            reasons = "; ".join(purchase.reasons)
            yield f"  proposed ({purchase.score}): {purchase.part.description}: {reasons}"


def _list_document(each: ListCheck) -> Json:
    price_list = each.price_list
    return {
        "name": price_list.name,
        "supplier": price_list.supplier,
        "sha256": price_list.digest,
        "rows_read": price_list.rows_read,
        "items": len(price_list.items),
        "read_from": {name: each.read_from.get(name, 0) for name in _READ_FROM},
        "price_basis": dict(sorted(each.price_basis.items())),
        "rejected": [
            {"where": fault.where, "message": fault.message} for fault in price_list.rejected
        ],
        "unread": [
            {
                "sheet": row.sheet,
                "row": row.row,
                "item_number": row.number,
                "description": row.description,
                "why": row.why,
            }
            for row in price_list.unread
        ],
        "doubts": [{"where": each.where, "message": each.message} for each in price_list.doubts],
        "rows_in_file": price_list.rows_in_file,
        "rows_passed_over": price_list.rows_passed_over,
        "rows_blank": price_list.rows_blank,
        "passed_over": [
            {"sheet": row.sheet, "row": row.row, "why": row.why, "text": row.text}
            for row in price_list.passed_over
        ],
        "sheets_left_out": [{"sheet": each.sheet, "why": each.why} for each in price_list.left_out],
        "read_as": list(price_list.read_as),
        "column_mapping": mapping_document(price_list.mappings),
    }


def _match_document(purchase: Purchase) -> Json:
    return {
        "part": purchase.part.description,
        "kind": purchase.part.kind,
        "attributes": dict(purchase.part.attributes),
        "match": purchase.match,
        "items": [
            {
                "supplier": bought.item.supplier,
                "item_number": bought.item.number,
                "description": bought.item.description,
                "unit_price": str(bought.item.unit_price),
                "pack": plain(bought.item.pack),
            }
            for bought in purchase.bought
        ],
        "score": None if purchase.score is None else plain(purchase.score),
        "because": list(purchase.reasons),
    }
