"""The quirky sample lists and the reports that are expected of them.

``python tests/catalogue/quirky_lists.py`` writes the reports anew. Read what it changed: a report
is right when a person who looks into the list finds it so.
"""

from pathlib import Path

from click.testing import CliRunner

from estimator.cli import main

SAMPLES = Path(__file__).parents[2] / "catalog_samples"
FOLDER = SAMPLES / "price_lists_quirky"
JOB = SAMPLES / "jobs" / "interlock_30a.yaml"
DAY = "2026-06-01"
_LISTS = {".csv", ".tsv", ".xlsx", ".xls", ".ods", ".gz"}


def quirky_lists() -> list[Path]:
    """The price lists, without what stands beside them."""
    return [
        path
        for path in sorted(FOLDER.iterdir())
        if path.suffix in _LISTS and ".mapping" not in path.name
    ]


def mapping_of(path: Path) -> Path | None:
    """What a person told of the columns of a list; None where nothing had to be told."""
    return next(iter(sorted(FOLDER.glob(f"{_stem(path)}.mapping.*"))), None)


def expected_of(path: Path, *, mapped: bool = True) -> Path:
    """The file with the expected report; of a list that needs a mapping also without one."""
    alone = not mapped and mapping_of(path) is not None
    return FOLDER / f"{_stem(path)}.{'refused' if alone else 'expected'}.txt"


def report_of(path: Path, *, mapped: bool = True) -> tuple[str, int]:
    """What ``estimator catalogue check`` says of a list, and its exit status."""
    mapping = mapping_of(path) if mapped else None
    words = ["catalogue", "check", str(path), "--job", str(JOB), "--on", DAY]
    if mapping is not None:
        words += ["--mapping", str(mapping)]
    result = CliRunner().invoke(main, words, catch_exceptions=False)
    return result.output, result.exit_code


def _stem(path: Path) -> str:
    return path.name.partition(".")[0]


if __name__ == "__main__":
    for each in quirky_lists():
        for with_mapping in (True, False):
            report, _ = report_of(each, mapped=with_mapping)
            expected_of(each, mapped=with_mapping).write_text(report, encoding="utf-8")
