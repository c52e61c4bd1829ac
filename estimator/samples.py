"""The sample jobs that come with the project: what a price list is checked against."""

from functools import cache
from pathlib import Path

from estimator.finding import Fault, InputRefused

SAMPLES = Path(__file__).resolve().parent.parent / "catalog_samples"
_ENDINGS = (".json", ".yaml")


@cache
def sample_job_files() -> tuple[tuple[str, bytes], ...]:
    """Name and bytes of each sample job, read once in a process.

    Raises InputRefused where the package stands without its samples.
    """
    folder = SAMPLES / "jobs"
    paths = sorted(folder.iterdir()) if folder.is_dir() else []
    files = tuple((path.name, path.read_bytes()) for path in paths if path.suffix in _ENDINGS)
    if not files:
        fault = Fault("jobs", "the sample jobs are not there; give jobs of your own to check with")
        raise InputRefused("samples", (fault,))
    return files
