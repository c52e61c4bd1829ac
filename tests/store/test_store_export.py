"""All data of an organisation can be taken out: everything of it, nothing secret or foreign."""

import io
import json
import zipfile
from typing import Any

import pytest
from sqlalchemy import func, select
from store.databases import new_scope
from store.store_rows import fill

from estimator.store.customers import add_customer
from estimator.store.database import Database
from estimator.store.export import write_export
from estimator.store.quote_revisions import find_revision
from estimator.store.scope import Scope
from estimator.store.tables.base import Base, OwnedRow

OWNED = [each.class_ for each in Base.registry.mappers if issubclass(each.class_, OwnedRow)]
# Of use to the running service only; files are in a folder of their own.
LEFT_OUT = {"login_sessions", "idempotency_keys", "stored_files"}
Files = dict[str, bytes]


@pytest.fixture(scope="module")
def exported(database: Database) -> tuple[Scope, dict[str, Any], Files]:
    scope, foreign = new_scope(database), new_scope(database)
    with database.writing() as session:
        ids = fill(session, scope)
        fill(session, foreign)
        add_customer(session, foreign, {"name": "Somebody else's"})
    with database.reading() as session:
        content = write_export(session, scope, lambda _: None)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return scope, ids, {name: archive.read(name) for name in archive.namelist()}


def rows(files: Files, name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in files[f"{name}.jsonl"].splitlines()]


def test_every_row_of_every_table_is_in_it(
    database: Database, exported: tuple[Scope, dict[str, Any], Files]
) -> None:
    scope, _, files = exported
    with database.reading() as session:
        for table in OWNED:
            if table.__tablename__ in LEFT_OUT:
                assert f"{table.__tablename__}.jsonl" not in files
                continue
            kept = session.scalar(scope.rows(table).with_only_columns(func.count()))
            found = rows(files, table.__tablename__)
            assert len(found) == kept > 0, table.__tablename__
            assert {row.get("organisation_id", scope.organisation_id) for row in found} == {
                scope.organisation_id
            }


def test_a_revision_and_a_file_are_in_it_to_the_byte(
    database: Database, exported: tuple[Scope, dict[str, Any], Files]
) -> None:
    scope, ids, files = exported
    with database.reading() as session:
        kept = find_revision(session, scope, ids["quote"], 1)

    (row,) = rows(files, "quote_revisions")
    assert (row["snapshot"], row["snapshot_digest"]) == (kept.snapshot, kept.snapshot_digest)
    assert row["total"] == "149.51"
    assert [files[name] for name in files if name.startswith("files/")] == [b"a,b\n"]


def test_nothing_secret_and_nobody_elses_is_in_it(
    database: Database, exported: tuple[Scope, dict[str, Any], Files]
) -> None:
    _, _, files = exported
    everything = b"\n".join(files.values()).decode()
    with database.reading() as session:
        hashes = [
            value
            for table in Base.metadata.sorted_tables
            for column in table.columns
            if column.name.endswith("_hash") and column.name != "match_hash"
            for value in session.connection().scalars(select(column))
            if value and value != "x"
        ]

    assert len(hashes) >= 8
    for value in hashes:
        text = value.hex() if isinstance(value, bytes) else value
        assert text not in everything
    assert "_hash" not in everything.replace("match_hash", "")
    assert "Somebody else" not in everything
