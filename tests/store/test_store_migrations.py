"""Migrations run on an empty database of each kind and leave nothing to migrate."""

import os
import subprocess
import sys
from pathlib import Path

from store.databases import empty_postgres

from estimator.store.database import Database
from estimator.store.migrate import differences, schema_state

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
    assert checked.returncode == 0, checked.stderr


def test_an_empty_postgresql_database_migrates_and_matches_the_models(postgres: str) -> None:
    with empty_postgres(postgres) as url:
        upgraded = alembic("upgrade", "head", url=url)
        checked = alembic("check", url=url)

    assert upgraded.returncode == 0, upgraded.stderr
    assert checked.returncode == 0, checked.stderr


def test_the_program_itself_migrates_and_matches_the_models(database: Database) -> None:
    assert schema_state(database).up_to_date
    assert differences(database) == []


def test_migrating_without_a_database_named_says_what_to_do() -> None:
    result = alembic("upgrade", "head", url=None)

    assert result.returncode != 0
    assert "Name the database" in result.stderr
