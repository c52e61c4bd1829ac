"""What several rooms' tests share: the sample files and the real flow."""

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

from estimator import usecases
from estimator.usecases import Catalogue

__all__ = ["database", "other", "postgres", "postgres_template", "scope", "sqlite_template"]

ROOT = Path(__file__).parents[1]
SAMPLES = ROOT / "catalog_samples"
SAMPLE_DAY = date(2025, 10, 1)


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
