"""Published tables written out for somebody who checks them: plain text, CSV and JSON."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from estimator.published.audit import AuditRow, AuditTable, row_status
from estimator.published.sources import Source

Json = dict[str, Any]
_LIST_COLUMNS = ("table", "file", "rows", "from_memory", "common_practice")


def tables_text(tables: Sequence[AuditTable], sources: Mapping[str, Source]) -> str:
    """All tables by name with their row counts, and what rests on memory or practice."""
    width = max(len(table.name) for table in tables)
    lines = [f"{'table':<{width}}  {'rows':>5}  {'memory':>6}  {'practice':>8}"]
    rows = memory = practice = 0
    for table in tables:
        by_memory = table.count("memory", sources)
        by_practice = table.count("common_practice", sources)
        lines.append(
            f"{table.name:<{width}}  {len(table.rows):>5}  {by_memory:>6}  {by_practice:>8}"
        )
        rows, memory, practice = (
            rows + len(table.rows),
            memory + by_memory,
            practice + by_practice,
        )
    lines.append(
        f"{len(tables)} tables, {rows} rows: {memory} rest on memory alone, {practice} on common "
        "practice without a source."
    )
    return "\n".join(lines)


def table_text(table: AuditTable, sources: Mapping[str, Source], edition: str) -> str:
    """One table: each row with its columns, then its sources spelled out and their status."""
    head = f"{table.name} ({table.file}), {len(table.rows)} rows"
    memory = table.count("memory", sources)
    if memory:
        head += f", {memory} from memory alone"
    lines = [head]
    for row in table.rows:
        filled = [
            f"{column}={cell}"
            for column, cell in zip(table.columns, row.cells, strict=True)
            if cell
        ]
        cited = "; ".join(_cited(row, sources, edition))
        lines.append(f"{'  '.join(filled)}\n    {cited} ({row_status(row, sources)})")
    return "\n".join(lines)


def tables_csv(tables: Sequence[AuditTable], sources: Mapping[str, Source]) -> str:
    """All tables with their row counts, as CSV."""
    return _csv(
        _LIST_COLUMNS,
        (
            (
                table.name,
                table.file,
                str(len(table.rows)),
                str(table.count("memory", sources)),
                str(table.count("common_practice", sources)),
            )
            for table in tables
        ),
    )


def table_csv(table: AuditTable, sources: Mapping[str, Source], edition: str) -> str:
    """The rows of one table as CSV, with source keys, citations and status as last columns."""
    return _csv(
        (*table.columns, "source", "citation", "status"),
        (
            (
                *row.cells,
                " ".join(row.sources),
                "; ".join(_cited(row, sources, edition)),
                row_status(row, sources),
            )
            for row in table.rows
        ),
    )


def tables_document(tables: Sequence[AuditTable], sources: Mapping[str, Source]) -> Json:
    """All tables with their row counts, ready for any JSON writer."""
    return {
        "tables": [
            {
                "name": table.name,
                "file": table.file,
                "rows": len(table.rows),
                "from_memory": table.count("memory", sources),
                "common_practice": table.count("common_practice", sources),
            }
            for table in tables
        ]
    }


def table_document(table: AuditTable, sources: Mapping[str, Source], edition: str) -> Json:
    """One table with every row and its sources, ready for any JSON writer."""
    return {
        "name": table.name,
        "file": table.file,
        "code_edition": edition,
        "columns": list(table.columns),
        "from_memory": table.count("memory", sources),
        "rows": [
            {
                "cells": list(row.cells),
                "sources": [
                    {
                        "source": key,
                        "citation": sources[key].cite(edition),
                        "status": sources[key].status,
                    }
                    for key in row.sources
                ],
                "status": row_status(row, sources),
            }
            for row in table.rows
        ],
    }


def _cited(row: AuditRow, sources: Mapping[str, Source], edition: str) -> list[str]:
    return [sources[key].cite(edition) for key in row.sources if key in sources] or ["no source"]


def _csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()
