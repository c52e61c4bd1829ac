"""The command line: ``estimator demo``, ``quote``, ``catalogue check``, ``tables``, ``serve``."""

import json
import sys
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import NamedTemporaryFile, gettempdir
from typing import NoReturn, get_args

import click

from estimator import __version__, usecases
from estimator.catalogue_commands import catalogue
from estimator.config import Config
from estimator.db_commands import config, db
from estimator.documents.credit_memo import CreditMemo, credit_memo
from estimator.documents.credit_memo_json import memo_document
from estimator.documents.credit_memo_text import memo_text
from estimator.documents.every_document import every_document
from estimator.documents.letterhead_file import read_letterhead
from estimator.documents.pdf import Letterhead, Paper, Sheet
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.table_listing import table_csv, table_text, tables_csv, tables_text
from estimator.documents.text_report import text_report
from estimator.documents.workbook import write_workbook
from estimator.finding import Fault, InputRefused
from estimator.job.records import CodeEdition
from estimator.people_commands import people, tokens
from estimator.published.audit import UnknownTable
from estimator.published.sources import load_sources
from estimator.work_commands import work

BAD_INPUT = 2
EDITIONS = get_args(CodeEdition)
PAPERS = get_args(Paper)
_SAMPLES = Path(__file__).resolve().parent.parent / "catalog_samples"
_EXISTING = click.Path(path_type=Path)


@click.group()
@click.version_option(__version__)
def main() -> None:
    """Estimate a house-backup wiring job: parts, labour, price and tax credit."""


@main.command()
@click.argument("job", type=_EXISTING)
@click.option(
    "--catalogue", "-c", "catalogues", type=_EXISTING, multiple=True, required=True,
    help="A price list (CSV); may be given several times.",
)  # fmt: skip
@click.option("--confirmed", type=_EXISTING, help="Confirmed matches of items to parts (CSV).")
@click.option(
    "--suppliers", type=_EXISTING,
    help="Minimum orders and delivery fees of suppliers (CSV).",
)  # fmt: skip
@click.option("--labour", type=_EXISTING, help="Your own labour units (CSV).")
@click.option(
    "--programme", "-p", "programmes", type=_EXISTING, multiple=True,
    help="A credit programme of your own (TOML); may be given several times.",
)  # fmt: skip
@click.option(
    "--fact", "facts", multiple=True, metavar="NAME=VALUE",
    help="A fact that a programme asks for; may be given several times.",
)  # fmt: skip
@click.option("--years", is_flag=True, help="Add the credits of the job by year of completion.")
@click.option("--memo", type=_EXISTING, help="Write the credit memo to this file (.txt, .json).")
@click.option("--out", type=_EXISTING, help="Write the workbook to this file (.xlsx).")
@click.option("--json", "json_out", type=_EXISTING, help="Write the result to this file (.json).")
@click.option(
    "--documents", type=_EXISTING,
    help="Write every document into this folder: papers, workbook, pictures, lists.",
)  # fmt: skip
@click.option("--letterhead", type=_EXISTING, help="Head of the papers (TOML: name, lines, logo).")
@click.option(
    "--paper", type=click.Choice(PAPERS), default=PAPERS[0], show_default=True,
    help="Size of the papers.",
)  # fmt: skip
@click.option("--on", "on_day", type=click.DateTime(["%Y-%m-%d"]), help="Compute as of this day.")
@click.option("--quiet", is_flag=True, help="Print only the totals and the paths.")
def quote(
    job: Path,
    catalogues: tuple[Path, ...],
    confirmed: Path | None,
    suppliers: Path | None,
    labour: Path | None,
    programmes: tuple[Path, ...],
    facts: tuple[str, ...],
    years: bool,
    memo: Path | None,
    out: Path | None,
    json_out: Path | None,
    documents: Path | None,
    letterhead: Path | None,
    paper: Paper,
    on_day: datetime | None,
    quiet: bool,
) -> None:
    """Estimate and price JOB (JSON or YAML) from price lists."""
    today = on_day.date() if on_day else _today()
    asked = _Asked(job, catalogues, labour, programmes, facts, years, today, confirmed, suppliers)
    folder = _Folder(documents, letterhead, paper) if documents else None
    _quote(asked, _Written(out, json_out, memo, folder), quiet)


@main.command()
@click.option("--out", type=_EXISTING, help="Where to write the workbook.")
def demo(out: Path | None) -> None:
    """Run the main job on the invented sample: six circuits on a concrete-block wall."""
    lists = tuple(sorted((_SAMPLES / "price_lists").glob("*.csv")))
    job = _SAMPLES / "jobs" / "six_circuit_block.yaml"
    if not lists or not job.is_file():
        _refuse(InputRefused("samples", (Fault(str(_SAMPLES), "the sample files are not there"),)))
    target = out or Path(gettempdir()) / "house_backup_demo.xlsx"
    _quote(_Asked(job, lists, None, (), (), False, _today()), _Written(target), quiet=False)


@main.command()
@click.argument("name", required=False)
@click.option("--csv", "as_csv", is_flag=True, help="Print comma-separated values.")
@click.option(
    "--edition", type=click.Choice(EDITIONS), default=EDITIONS[-1], show_default=True,
    help="Code edition whose sections are cited.",
)  # fmt: skip
def tables(name: str | None, as_csv: bool, edition: str) -> None:
    """List the published tables and rules, or print the rows of NAME with their sources."""
    sources = load_sources()
    if name is None:
        every = usecases.list_tables()
        click.echo(tables_csv(every, sources) if as_csv else tables_text(every, sources))
        return
    try:
        table = usecases.show_table(name)
    except UnknownTable as unknown:
        _refuse(InputRefused("table name", (Fault(name, str(unknown)),)))
    write = table_csv if as_csv else table_text
    click.echo(write(table, sources, edition))


@main.command()
@click.option(
    "--port", type=click.IntRange(1, 65535),
    help="Port to listen on; ESTIMATOR_PORT, or 8460, if not given.",
)  # fmt: skip
def serve(port: int | None) -> None:
    """Start the service and the pages: on this machine only and without a login, unless
    ESTIMATOR_MODE is shared.
    """
    from estimator.store.errors import StoreError
    from estimator.web.serve import serve  # only this command needs the web packages

    try:
        settings = Config.from_environment()
        settings = replace(settings, port=port) if port else settings
        click.echo(f"Open http://{settings.host}:{settings.port}/ (stop with Ctrl-C)")
        serve(settings)
    except InputRefused as refused:
        _refuse(refused)
    except StoreError as error:
        raise click.ClickException(str(error)) from None


main.add_command(catalogue)
main.add_command(config)
main.add_command(db)
main.add_command(people)
main.add_command(tokens)
main.add_command(work)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is to be estimated: the files and what was told beside them."""

    job: Path
    catalogues: tuple[Path, ...]
    labour: Path | None
    programmes: tuple[Path, ...]
    facts: tuple[str, ...]
    years: bool
    today: date
    confirmed: Path | None = None
    suppliers: Path | None = None


@dataclass(frozen=True, slots=True)
class _Folder:
    """Where every document goes, and how the papers look."""

    path: Path
    letterhead: Path | None
    paper: Paper


@dataclass(frozen=True, slots=True)
class _Written:
    """Where the documents go; None for those that are not wanted."""

    workbook: Path | None = None
    result: Path | None = None
    memo: Path | None = None
    folder: _Folder | None = None


def _quote(asked: _Asked, written: _Written, quiet: bool) -> None:
    try:
        estimate = _estimate(asked)
        _write(written, estimate)
    except InputRefused as refused:
        _refuse(refused)
    except OSError as error:  # of the temporary files that a document is made from
        fault = Fault("temporary files", f"cannot be written: {error.strerror}")
        _refuse(InputRefused("output", (fault,)))
    if not quiet:
        click.echo(text_report(estimate))
    label = "Total" if estimate.price.complete else "INCOMPLETE total"
    if estimate.price.proposed:
        label += f", {estimate.price.proposed} matches to be confirmed"
    click.echo(f"{label}: {estimate.price.total:,.2f} {estimate.price.currency}")
    folder = written.folder.path if written.folder else None
    for path in (written.workbook, written.result, written.memo, folder):
        if path:
            click.echo(f"Written: {path}")


def _write(written: _Written, estimate: FullEstimate) -> None:
    if written.workbook:
        _write_whole(written.workbook, write_workbook(estimate))
    if written.result:
        _write_json(written.result, result_document(estimate))
    if written.memo:
        _write_memo(written.memo, credit_memo(estimate))
    if written.folder:
        _write_documents(written.folder, estimate)


def _write_json(path: Path, document: object) -> None:
    text = json.dumps(document, indent=2, ensure_ascii=False)
    _write_whole(path, (text + "\n").encode())


def _write_memo(path: Path, memo: CreditMemo) -> None:
    if path.suffix.lower() == ".json":
        _write_json(path, memo_document(memo))
    else:
        _write_whole(path, memo_text(memo).encode())


def _write_documents(folder: _Folder, estimate: FullEstimate) -> None:
    sheet = Sheet(_letterhead(folder.letterhead), folder.paper)
    made = list(every_document(estimate, sheet))
    try:
        folder.path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        fault = Fault(str(folder.path), f"cannot be made: {error.strerror}")
        raise InputRefused("output", (fault,)) from error
    for name, data in made:
        _write_whole(folder.path / name, data)


def _letterhead(path: Path | None) -> Letterhead:
    if path is None:
        return Letterhead()
    faults: list[Fault] = []
    data = _read(path, faults)
    logo = b""
    if not faults:
        name, lines, logo_path = read_letterhead(data, path.name)
        if logo_path:
            logo = _read(path.parent / logo_path, faults)
    if faults:
        raise InputRefused("letterhead", tuple(faults))
    return Letterhead(name, lines, logo or None)


def _estimate(asked: _Asked) -> FullEstimate:
    faults: list[Fault] = []
    job, labour, confirmed = asked.job, asked.labour, asked.confirmed
    job_bytes = _read(job, faults)
    lists = [(path.name, _read(path, faults)) for path in asked.catalogues]
    programmes = [(path.name, _read(path, faults)) for path in asked.programmes]
    labour_bytes = _read(labour, faults) if labour else b""
    confirmed_bytes = _read(confirmed, faults) if confirmed else b""
    suppliers = asked.suppliers
    suppliers_bytes = _read(suppliers, faults) if suppliers else b""
    facts = [_fact(text, faults) for text in asked.facts]
    if faults:
        raise InputRefused("files", tuple(faults))
    return usecases.estimate_files(
        (job.name, job_bytes),
        lists,
        today=asked.today,
        labour=(labour.name, labour_bytes) if labour else None,
        programmes=programmes,
        programme_facts=facts,
        by_year=asked.years,
        confirmed=(confirmed.name, confirmed_bytes) if confirmed else None,
        supplier_terms=(suppliers.name, suppliers_bytes) if suppliers else None,
    )


def _fact(text: str, faults: list[Fault]) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found:
        faults.append(Fault(f"--fact {text}", "must be NAME=VALUE, such as has_solar=yes"))
    return name.strip(), value


def _read(path: Path, faults: list[Fault]) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        faults.append(Fault(str(path), f"cannot be read: {error.strerror}"))
        return b""


def _write_whole(path: Path, data: bytes) -> None:
    """Write all or nothing: a reader never sees half a file."""
    written = None
    try:
        with NamedTemporaryFile(dir=path.parent, prefix=path.name, delete=False) as part:
            written = Path(part.name)
            part.write(data)
        written.replace(path)
    except OSError as error:
        if written is not None:
            written.unlink(missing_ok=True)
        fault = Fault(str(path), f"cannot be written: {error.strerror}")
        raise InputRefused("output", (fault,)) from error


def _refuse(refused: InputRefused) -> NoReturn:
    click.echo(f"Refused, {refused}", err=True)
    for fault in refused.faults:
        click.echo(f"  {fault.where or '/'}: {fault.message}", err=True)
    sys.exit(BAD_INPUT)


def _today() -> date:
    return datetime.now(UTC).astimezone().date()
