"""Migrations run on an empty database of each kind and leave nothing to migrate."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import func, select
from store.databases import empty_postgres, new_scope
from store.earlier import earlier_revisions, put_rows, read_rows
from store.next_migrations import with_next_migration
from store.store_rows import fill

from estimator.store import care, migrate
from estimator.store.database import Database, open_database
from estimator.store.errors import SchemaMismatch
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.item_search import find_items
from estimator.store.listing import Page
from estimator.store.migrate import differences, schema_state, upgrade
from estimator.store.quote_revisions import snapshot_document
from estimator.store.scope import Scope
from estimator.store.tables import metadata
from estimator.store.tables.catalogues import CatalogueItemRow, CatalogueVersionRow
from estimator.store.tables.quotes import QuoteRevisionRow

ROOT = Path(__file__).parents[2]


def alembic(*words: str, url: str | None) -> subprocess.CompletedProcess[str]:
    environment = {key: value for key, value in os.environ.items() if "DATABASE_URL" not in key}
    if url:
        environment["ESTIMATOR_DATABASE_URL"] = url
    return subprocess.run(
        [sys.executable, "-m", "alembic", *words],
        cwd=ROOT, env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_an_empty_database_migrates_and_matches_the_models(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'empty.sqlite'}"

    upgraded = alembic("upgrade", "head", url=url)
    checked = alembic("check", url=url)

    assert upgraded.returncode == 0, upgraded.stderr
    assert checked.returncode == 0, checked.stdout


def test_a_postgresql_database_matches_the_models(postgres: str, postgres_template: str) -> None:
    with empty_postgres(postgres, postgres_template) as url:
        checked = alembic("check", url=url)

    assert checked.returncode == 0, checked.stdout


def test_the_program_itself_migrates_and_matches_the_models(database: Database) -> None:
    assert schema_state(database).up_to_date
    assert differences(database) == []


@pytest.fixture(params=["sqlite", "postgresql"])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """A database of each kind without tables."""
    with ExitStack() as stack:
        if request.param == "sqlite":
            url = f"sqlite:///{tmp_path / 'empty.sqlite'}"
        else:
            url = stack.enter_context(empty_postgres(request.getfixturevalue("postgres")))
        opened = open_database(url)
        stack.callback(opened.close)
        yield opened


def revisions(database: Database) -> dict[tuple[str, int], str]:
    """The text of every revision of every quote."""
    with database.reading() as session:
        found = session.scalars(
            select(QuoteRevisionRow).execution_options(**{EVERY_ORGANISATION: True})
        ).all()
        assert all(snapshot_document(row) for row in found)
        return {(str(row.quote_id), row.number): row.snapshot for row in found}


def test_the_words_of_the_list_in_force_are_kept_from_then_on(empty: Database) -> None:
    rows = read_rows("0003")
    upgrade(empty, "0003")
    put_rows(empty, rows)

    upgrade(empty)

    with empty.reading() as session:
        (version,) = session.scalars(
            select(CatalogueVersionRow).execution_options(**{EVERY_ORGANISATION: True})
        )
        assert version.words_kept
        scope = Scope(version.organisation_id, version.imported_at)
        for row in rows["catalogue_items"]:
            number, kind = row["number"], row["kind"]
            found = find_items(session, scope, [version], Page(), {"place": CatalogueItemRow.place},
                               search=number, kind=kind)  # fmt: skip
            assert [each.number for each in found.rows] == [number]


@pytest.mark.parametrize("revision", earlier_revisions())
def test_a_database_of_an_earlier_revision_migrates_with_its_rows(
    empty: Database, revision: str
) -> None:
    rows = read_rows(revision)
    upgrade(empty, revision)
    put_rows(empty, rows)

    upgrade(empty)

    assert care.check(empty).startswith("In order")
    assert len(revisions(empty)) == len(rows["quote_revisions"]) > 0
    with empty.reading() as session:
        for table in metadata.sorted_tables:
            found = session.connection().scalar(select(func.count()).select_from(table))
            expected = rows.get(table.name, ())
            assert found == len(expected), table.name
    # It works on, beside the rows that were there.
    scope = new_scope(empty)
    with empty.writing() as session:
        fill(session, scope)
    assert len(revisions(empty)) == len(rows["quote_revisions"]) + 1


def test_every_revision_has_rows_to_migrate_from() -> None:
    known = ScriptDirectory.from_config(migrate.alembic_config()).walk_revisions()

    assert sorted(each.revision for each in known) == earlier_revisions(), (
        "run: python -m store.earlier, in the folder tests"
    )


def test_a_revision_of_a_quote_is_the_same_to_the_byte_after_a_migration(
    empty: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    upgrade(empty)
    scope = new_scope(empty)
    with empty.writing() as session:
        fill(session, scope)
    before = revisions(empty)
    monkeypatch.setattr(migrate, "MIGRATIONS", with_next_migration(tmp_path))

    upgrade(empty)

    assert schema_state(empty).current == "next"
    assert revisions(empty) == before != {}


def test_two_that_migrate_at_the_same_time_wait_for_each_other(empty: Database) -> None:
    told: list[str] = []
    both = [threading.Thread(target=lambda: told.append(care.upgrade(empty))) for _ in range(2)]
    for each in both:
        each.start()
    for each in both:
        each.join()

    assert len(told) == 2
    assert care.check(empty).startswith("In order")


def test_a_database_of_a_newer_version_is_left_alone(
    empty: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as newer:
        newer.setattr(migrate, "MIGRATIONS", with_next_migration(tmp_path))
        upgrade(empty)

    for step in (upgrade, care.check):
        with pytest.raises(SchemaMismatch, match="made by a newer one"):
            step(empty)


def test_migrating_without_a_database_named_says_what_to_do() -> None:
    result = alembic("upgrade", "head", url=None)

    assert result.returncode != 0
    assert "Name the database" in result.stderr
