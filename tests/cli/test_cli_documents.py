"""``estimator quote --documents``: every document in one folder."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import SAMPLES, sample_lists
from pypdf import PdfReader

from estimator.cli import main

JOB = str(SAMPLES / "jobs" / "six_circuit_block.yaml")
QUOTE = ["quote", JOB, "-c", str(sample_lists()[1]), "--quiet", "--on", "2025-10-01"]


def test_every_document_is_written_with_the_letterhead(tmp_path: Path) -> None:
    (tmp_path / "head.toml").write_text(
        'name = "Mill Lane (invented)"\nlines = ["12 Mill Lane"]\nlogo = "logo.svg"\n',
        "utf-8",
    )
    (tmp_path / "logo.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v9z"/></svg>',
        "utf-8",
    )
    folder = tmp_path / "papers"
    asked = ["--documents", str(folder), "--letterhead", str(tmp_path / "head.toml")]

    result = CliRunner().invoke(main, [*QUOTE, *asked, "--paper", "a4"])

    assert result.exit_code == 0, result.output
    assert f"Written: {folder}" in result.output
    assert len(list(folder.iterdir())) == 17
    page = PdfReader(folder / "quote.pdf").pages[0]
    assert "Mill Lane (invented)" in page.extract_text()
    assert round(float(page.mediabox.width)) == 595


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        (
            "name = 1\nlines = 2\ncolour = 3\n",
            ["name: must be text", "lines: must be", "colour: is"],
        ),
        ("no toml", ["is not TOML"]),
        ('name = "A"\nlogo = "absent.png"\n', ["absent.png: cannot be read"]),
        ('name = "A"\nlogo = "head.toml"\n', ["logo: is no PNG, JPEG or SVG picture"]),
    ],
)
def test_a_faulty_letterhead_is_refused_and_nothing_is_written(
    text: str, faults: list[str], tmp_path: Path
) -> None:
    (tmp_path / "head.toml").write_text(text, "utf-8")
    folder = tmp_path / "papers"

    result = CliRunner().invoke(
        main, [*QUOTE, "--documents", str(folder), "--letterhead", str(tmp_path / "head.toml")]
    )

    assert result.exit_code == 2
    for fault in faults:
        assert fault in result.output
    assert not folder.exists()
