"""The command ``estimator catalogue check``: what price lists hold, storing nothing."""

import json
from datetime import UTC, date, datetime
from pathlib import Path

import click

from estimator import usecases
from estimator.documents.catalogue_report import catalogue_check_document, catalogue_check_text
from estimator.finding import Fault, InputRefused
from estimator.usecases import NamedBytes

_FILE = click.Path(path_type=Path)


@click.group()
def catalogue() -> None:
    """Look into price lists."""


@catalogue.command()
@click.argument("files", type=_FILE, nargs=-1, required=True)
@click.option(
    "--job", "jobs", type=_FILE, multiple=True,
    help="A job whose parts are looked for; the sample jobs where none is given.",
)  # fmt: skip
@click.option("--confirmed", type=_FILE, help="Confirmed matches (CSV).")
@click.option("--json", "as_json", is_flag=True, help="Print JSON with every row.")
def check(
    files: tuple[Path, ...], jobs: tuple[Path, ...], confirmed: Path | None, as_json: bool
) -> None:
    """Report reading, units, matches and coverage of price lists FILES."""
    try:
        found = usecases.check_catalogue(
            [_named(path) for path in files],
            [_named(path) for path in jobs],
            confirmed=_named(confirmed) if confirmed else None,
            today=_today(),
        )
    except InputRefused as refused:
        told = [f"Refused, {refused}"]
        told += [f"  {fault.where or '/'}: {fault.message}" for fault in refused.faults]
        click.echo("\n".join(told), err=True)
        raise click.exceptions.Exit(2) from None
    if as_json:
        click.echo(json.dumps(catalogue_check_document(found), indent=2, ensure_ascii=False))
    else:
        click.echo(catalogue_check_text(found), nl=False)


def _named(path: Path) -> NamedBytes:
    try:
        return path.name, path.read_bytes()
    except OSError as error:
        fault = Fault(str(path), f"cannot be read: {error.strerror}")
        raise InputRefused("files", (fault,)) from None


def _today() -> date:
    return datetime.now(UTC).astimezone().date()
