"""The sample job and price lists that the benches share."""

import json
from datetime import date
from pathlib import Path

from estimator import usecases
from estimator.documents.records import FullEstimate
from estimator.job.read import read_job_document
from estimator.usecases import Catalogue

ROOT = Path(__file__).parents[2]
DAY = date(2025, 10, 1)
NAME = "six_circuit_block.yaml"
DOCUMENT = read_job_document((ROOT / "catalog_samples/jobs" / NAME).read_bytes(), NAME)
BODY = json.dumps(DOCUMENT, default=str).encode()


def list_files() -> list[tuple[str, bytes]]:
    """(Name, bytes) of the three sample price lists."""
    lists = sorted((ROOT / "catalog_samples/price_lists").glob("*.csv"))
    return [(path.name, path.read_bytes()) for path in lists]


def sample_catalogue() -> Catalogue:
    """The sample price lists, read."""
    return usecases.read_catalogue(list_files())


def sample_estimate(catalogue: Catalogue) -> FullEstimate:
    """Everything about the sample job."""
    return usecases.estimate_job(DOCUMENT, catalogue, today=DAY)
