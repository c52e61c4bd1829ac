"""Another version of the program in a folder of its own: an earlier commit, or a later one."""

import io
import shutil
import subprocess
import tarfile
from pathlib import Path

import pytest
from load.service import ROOT
from store.next_migrations import with_next_migration

_NEEDED = "estimator/web/api/quotes.py"
_MIGRATIONS = "migrations/versions"


def earlier_commit() -> str:
    """The newest commit with an earlier migration that has the REST resources.

    The first one that has them where none is older than the newest migration. Skips in a clone
    without history.
    """
    # Where it was added: until it is released, a migration may still be changed.
    last = _git("log", "-1", "--diff-filter=A", "--format=%H", "--", _MIGRATIONS).strip()
    if last and _has(f"{last}^"):
        return f"{last}^"
    added = _git("log", "--diff-filter=A", "--format=%H", "--", _NEEDED).split()
    # In a shallow clone everything was added by the one commit there is.
    if not added or added[-1] == _git("rev-parse", "HEAD").strip() or not _has(f"{added[-1]}^", ""):
        pytest.skip("no earlier version of the code is here: a clone without its history")
    return added[-1]


def code_of(commit: str, folder: Path) -> Path:
    """The program as it was at a commit."""
    packed = subprocess.run(
        ["git", "archive", commit, "estimator", "migrations", "pyproject.toml"],
        cwd=ROOT, capture_output=True, check=True,
    )  # fmt: skip
    with tarfile.open(fileobj=io.BytesIO(packed.stdout)) as archive:
        archive.extractall(folder, filter="data")
    return folder


def code_to_come(folder: Path) -> Path:
    """The program as it is, with one migration more."""
    shutil.copytree(
        ROOT / "estimator", folder / "estimator", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copytree(with_next_migration(folder / "made"), folder / "migrations")
    return folder


def _has(commit: str, path: str = _NEEDED) -> bool:
    asked = ["git", "cat-file", "-e", f"{commit}:{path}"]
    return subprocess.run(asked, cwd=ROOT, capture_output=True, check=False).returncode == 0


def _git(*words: str) -> str:
    done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout
