"""The commands ``estimator catalogue``: what price lists hold and change, storing nothing."""

import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import NoReturn

import click

from estimator import usecases
from estimator.catalogue.columns.mapping_file import mapping_csv, mapping_document
from estimator.documents.catalogue_report import catalogue_check_document, catalogue_check_text
from estimator.documents.difference_report import difference_document, difference_text
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
@click.option(
    "--mapping",
    "mappings",
    type=_FILE,
    multiple=True,
    help="What the columns of a list hold, as `columns` prints it; the n-th for the n-th of FILES.",
)
@click.option(
    "--on", "on_day", type=click.DateTime(["%Y-%m-%d"]), help="Prices that hold on this day; today."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON with every row.")
def check(
    files: tuple[Path, ...],
    jobs: tuple[Path, ...],
    confirmed: Path | None,
    mappings: tuple[Path, ...],
    on_day: datetime | None,
    as_json: bool,
) -> None:
    """Report reading, units, matches and coverage of price lists FILES."""
    try:
        found = usecases.check_catalogue(
            [_named(path) for path in files],
            [_named(path) for path in jobs],
            confirmed=_named(confirmed) if confirmed else None,
            mappings=[_named(path) for path in mappings],
            today=on_day.date() if on_day else _today(),
        )
    except InputRefused as refused:
        _refuse(refused)
    if as_json:
        click.echo(json.dumps(catalogue_check_document(found), indent=2, ensure_ascii=False))
    else:
        click.echo(catalogue_check_text(found), nl=False)


@catalogue.command("columns")
@click.argument("file", type=_FILE)
@click.option("--mapping", type=_FILE, help="What was told of the columns before.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of CSV.")
def columns(file: Path, mapping: Path | None, as_json: bool) -> None:
    """Print what the columns of price list FILE seem to hold.

    Correct field "column" and give the file back to `check` as --mapping.
    """
    try:
        found = usecases.propose_columns(_named(file), _named(mapping) if mapping else None)
    except InputRefused as refused:
        _refuse(refused)
    if as_json:
        click.echo(json.dumps(mapping_document(found), indent=2, ensure_ascii=False))
    else:
        click.echo(mapping_csv(found), nl=False)


@catalogue.command("difference")
@click.argument("old", type=_FILE)
@click.argument("new", type=_FILE)
@click.option("--confirmed", type=_FILE, help="Confirmed matches (CSV).")
@click.option("--json", "as_json", is_flag=True, help="Print JSON with every item.")
def difference(old: Path, new: Path, confirmed: Path | None, as_json: bool) -> None:
    """Report what price list NEW changes against OLD: new, gone, dearer, cheaper items."""
    try:
        found = usecases.compare_price_lists(
            _named(old), _named(new), _named(confirmed) if confirmed else None
        )
    except InputRefused as refused:
        _refuse(refused)
    if as_json:
        click.echo(json.dumps(difference_document(found), indent=2, ensure_ascii=False))
    else:
        click.echo(difference_text(found), nl=False)


def _refuse(refused: InputRefused) -> NoReturn:
    told = [f"Refused, {refused}"]
    told += [f"  {fault.where or '/'}: {fault.message}" for fault in refused.faults]
    click.echo("\n".join(told), err=True)
    raise click.exceptions.Exit(2) from None


def _named(path: Path) -> NamedBytes:
    try:
        return path.name, path.read_bytes()
    except OSError as error:
        fault = Fault(str(path), f"cannot be read: {error.strerror}")
        raise InputRefused("files", (fault,)) from None


def _today() -> date:
    return datetime.now(UTC).astimezone().date()
