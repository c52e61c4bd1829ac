"""What several rooms' tests share: the sample files and the real flow."""

import sys
from datetime import date
from pathlib import Path

import pytest
from store.databases import (
    database,
    other,
    postgres,
    postgres_template,
    scope,
    sqlite_template,
)
from web.api.offices import neighbour, office, office_app, office_database

from estimator import usecases
from estimator.usecases import Catalogue

__all__ = [
    "database", "neighbour", "office", "office_app", "office_database", "other", "postgres",
    "postgres_template", "scope", "sqlite_template",
]  # fmt: skip

ROOT = Path(__file__).parents[1]
SAMPLES = ROOT / "catalog_samples"
SAMPLE_DAY = date(2025, 10, 1)

_THIS = sys.modules[__name__]


def pytest_collectstart() -> None:
    """Modules that import from ``conftest`` mean this one, whichever folder's was loaded last."""
    sys.modules["conftest"] = _THIS


def sample_jobs() -> list[Path]:
    """The sample jobs."""
    return sorted(path for path in (SAMPLES / "jobs").iterdir() if path.suffix != ".md")


def sample_lists() -> list[Path]:
    """The sample price lists."""
    return sorted((SAMPLES / "price_lists").glob("*.csv"))


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """All sample price lists, read once."""
    return usecases.read_catalogue([(path.name, path.read_bytes()) for path in sample_lists()])
