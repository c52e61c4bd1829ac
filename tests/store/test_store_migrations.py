"""The migration set-up runs on an empty database and finds nothing left to migrate."""

import os
import subprocess
import sys
from pathlib import Path

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


def test_migrating_without_a_database_named_says_what_to_do() -> None:
    result = alembic("upgrade", "head", url=None)

    assert result.returncode != 0
    assert "Name the database" in result.stderr
