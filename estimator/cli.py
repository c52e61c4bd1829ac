"""The command line: ``estimator demo``, ``estimator quote`` and ``estimator serve``."""

import json
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import NamedTemporaryFile, gettempdir

import click

from estimator import __version__, usecases
from estimator.config import Config
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.documents.text_report import text_report
from estimator.documents.workbook import write_workbook
from estimator.finding import Fault, InputRefused

BAD_INPUT = 2
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
@click.option("--labour", type=_EXISTING, help="Your own labour units (CSV).")
@click.option("--out", type=_EXISTING, help="Write the workbook to this file (.xlsx).")
@click.option("--json", "json_out", type=_EXISTING, help="Write the result to this file (.json).")
@click.option("--on", "on_day", type=click.DateTime(["%Y-%m-%d"]), help="Compute as of this day.")
@click.option("--quiet", is_flag=True, help="Print only the totals and the paths.")
def quote(
    job: Path,
    catalogues: tuple[Path, ...],
    labour: Path | None,
    out: Path | None,
    json_out: Path | None,
    on_day: datetime | None,
    quiet: bool,
) -> None:
    """Estimate and price JOB (JSON or YAML) from price lists."""
    today = on_day.date() if on_day else _today()
    _quote(job, catalogues, labour, out, json_out, today, quiet)


@main.command()
@click.option("--out", type=_EXISTING, help="Where to write the workbook.")
def demo(out: Path | None) -> None:
    """Run the main job on the invented sample: six circuits on a concrete-block wall."""
    lists = tuple(sorted((_SAMPLES / "price_lists").glob("*.csv")))
    job = _SAMPLES / "jobs" / "six_circuit_block.yaml"
    if not lists or not job.is_file():
        _refuse(InputRefused("samples", (Fault(str(_SAMPLES), "the sample files are not there"),)))
    target = out or Path(gettempdir()) / "house_backup_demo.xlsx"
    _quote(job, lists, None, target, None, _today(), quiet=False)


@main.command()
@click.option("--port", type=click.IntRange(1, 65535), default=Config().port, show_default=True)
def serve(port: int) -> None:
    """Start the service and the pages on this machine (loopback only, no login)."""
    from estimator.web.serve import serve_local  # only this command needs the web packages

    click.echo(f"Open http://{Config().host}:{port}/ (stop with Ctrl-C)")
    serve_local(port)


def _quote(
    job: Path,
    catalogues: tuple[Path, ...],
    labour: Path | None,
    out: Path | None,
    json_out: Path | None,
    today: date,
    quiet: bool,
) -> None:
    try:
        estimate = _estimate(job, catalogues, labour, today)
        if out:
            _write_whole(out, write_workbook(estimate))
        if json_out:
            text = json.dumps(result_document(estimate), indent=2, ensure_ascii=False)
            _write_whole(json_out, (text + "\n").encode())
    except InputRefused as refused:
        _refuse(refused)
    if not quiet:
        click.echo(text_report(estimate))
    label = "Total" if estimate.price.complete else "INCOMPLETE total"
    click.echo(f"{label}: {estimate.price.total:,.2f} {estimate.price.currency}")
    for path in (out, json_out):
        if path:
            click.echo(f"Written: {path}")


def _estimate(
    job: Path, catalogues: tuple[Path, ...], labour: Path | None, today: date
) -> FullEstimate:
    faults: list[Fault] = []
    job_bytes = _read(job, faults)
    lists = [(path.name, _read(path, faults)) for path in catalogues]
    labour_bytes = _read(labour, faults) if labour else b""
    if faults:
        raise InputRefused("files", tuple(faults))
    return usecases.estimate_files(
        (job.name, job_bytes),
        lists,
        today=today,
        labour=(labour.name, labour_bytes) if labour else None,
    )


def _read(path: Path, faults: list[Fault]) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        faults.append(Fault(str(path), f"cannot be read: {error.strerror}"))
        return b""


def _write_whole(path: Path, data: bytes) -> None:
    """Write all or nothing: a reader never sees half a file."""
    try:
        with NamedTemporaryFile(dir=path.parent, prefix=path.name, delete=False) as part:
            part.write(data)
        Path(part.name).replace(path)
    except OSError as error:
        fault = Fault(str(path), f"cannot be written: {error.strerror}")
        raise InputRefused("output", (fault,)) from error


def _refuse(refused: InputRefused) -> None:
    click.echo(f"Refused, {refused}", err=True)
    for fault in refused.faults:
        click.echo(f"  {fault.where or '/'}: {fault.message}", err=True)
    sys.exit(BAD_INPUT)


def _today() -> date:
    return datetime.now(UTC).astimezone().date()
