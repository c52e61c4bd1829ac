"""The README tells the truth: its files exist, its commands are those of the programme."""

import re
import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from conftest import ROOT

from estimator.cli import main

README = (ROOT / "README.md").read_text("utf-8")
COMMANDS = [
    command.replace("\\\n", " ")
    for block in re.findall(r"```bash\n(.*?)```", README, re.DOTALL)
    for command in re.split(r"\n(?! )", block.strip())
]


def words_after(program: str, command: str) -> list[str]:
    return shlex.split(command.split(f"{program} ", 1)[1])


def test_the_first_screen_has_the_two_commands_and_a_picture() -> None:
    first = README.splitlines()[:32]

    assert any(line.endswith("estimator demo") for line in first)
    assert "bash tests/run" in first
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", "\n".join(first))
    assert pictures
    assert all((ROOT / picture).stat().st_size > 10_000 for picture in pictures)


def test_every_file_that_the_documents_name_exists() -> None:
    text = README + (ROOT / "DEVELOPERS.md").read_text("utf-8")

    named = set(re.findall(r"(?<![\w/.])(?:\.ci|estimator|catalog_samples|tests)/[\w./]*\w", text))
    missing = sorted(name for name in named if not (ROOT / name).exists())

    assert missing == []


def test_every_command_of_the_readme_is_one_of_the_programme() -> None:
    for command in COMMANDS:
        if "estimator " not in command or command.startswith("python3"):
            continue
        name, *words = words_after("estimator", command)
        found = main.commands[name]
        options = {option for one in found.params for option in one.opts}
        assert {word for word in words if word.startswith("--")} <= options, command
        assert isinstance(found, click.Command)


def test_the_quote_command_of_the_readme_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (command,) = [one for one in COMMANDS if "estimator quote" in one]
    words = words_after("estimator", command)
    monkeypatch.chdir(ROOT)
    placed = [
        str(tmp_path / word) if word in ("quote.xlsx", "quote.json") else word for word in words
    ]

    result = CliRunner().invoke(main, placed)

    assert result.exit_code == 0, result.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["quote.json", "quote.xlsx"]
