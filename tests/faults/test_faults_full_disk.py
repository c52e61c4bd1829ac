"""The disk is full: what is written is refused whole, reading goes on, room makes it work again."""

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import psycopg
import pytest
from click.testing import CliRunner
from faults.counted import ROUNDS, told
from faults.small_disk import filled, small_disk
from load.checks import all_quotes, holes
from load.client import Desk
from load.line import Line
from load.offices import COUNTER, JOB, SAMPLES, open_office
from load.service import Service, serving
from sqlalchemy import make_url
from store.databases import migrated, new_scope
from store.postgres_server import SETTINGS, OwnServer, find_binaries
from store.store_rows import plain_item, price_list
from store.test_store_backup import command
from web.people.shared_service import SHARED
from web.people.shared_service import Service as SharedService

from estimator import cli
from estimator.store.catalogue_import import import_price_list
from estimator.store.catalogues import add_catalogue
from estimator.store.database import Database, open_database
from estimator.store.errors import StorageFull
from estimator.web import rate_limits

MANY = [plain_item(f"F-{place}", row=place) for place in range(1, 4_001)]
LIST = SAMPLES / "price_lists" / "north_counter.csv"
WRITES = 400
# For a few quotes, before there is none.
ROOM = 1024 * 1024


@contextmanager
def database_on(disk: Path, kind: str, folder: Path) -> Iterator[str]:
    """The URL of a database whose rows are on the disk."""
    if kind == "sqlite":
        yield f"sqlite:///{disk / 'estimator.sqlite'}"
        return
    # On the disk are the tables only: PostgreSQL stops where its journal finds no room, which
    # is a database that is away.
    place = disk / "tables"
    place.mkdir()
    with ExitStack() as stack:
        server = OwnServer(folder, find_binaries(folder), SETTINGS)
        server.make()
        server.start()
        stack.callback(server.stop)
        shutil.chown(place, server.data.owner())
        with psycopg.connect(server.url, autocommit=True) as connection:
            connection.execute(f"CREATE TABLESPACE small LOCATION '{place}'")
            connection.execute("CREATE DATABASE small TABLESPACE small")
        head, _, query = server.url.partition("?")
        yield f"{head.rsplit('/', 1)[0]}/small?{query}"


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_the_service_on_a_full_disk(kind: str) -> None:
    with ExitStack() as stack:
        # Both where another user may come: PostgreSQL does not run as root.
        folder, outer = (Path(stack.enter_context(_folder())) for _ in range(2))
        outer.chmod(0o755)
        disk = stack.enter_context(small_disk(outer / "disk", "48m"))
        url = stack.enter_context(database_on(disk, kind, folder))
        # Whatever the processes put aside is on the full disk, too.
        service = stack.enter_context(serving(url, {"TMPDIR": str(disk)}))
        token, desk = open_office(service, 1)
        line = Line(service.port, token)
        kept = [str(row["number"]) for row in all_quotes(line)]
        # Nobody has used them before the disk is full; that they are is to be kept then.
        fresh = [_token(service) for _ in range(ROUNDS)]
        for unused in fresh:
            with filled(disk, ROOM):
                kept += _until_full(line, desk)
                with filled(disk):
                    _reading_goes_on(service, line, kept)
                    other = Line(service.port, unused)
                    _reading_goes_on(service, other, kept)
                    other.close()
            line.unexpected.clear()
            _works_again(line, desk, kept)
        line.close()
        assert service.running() == list(service.processes)
        service.stop()
        said = command(url, "check")
        assert said.output.startswith("In order"), said.output
    told("full disk", kind, ROUNDS, len(kept), 0)


@contextmanager
def _folder() -> Iterator[str]:
    with tempfile.TemporaryDirectory(prefix="estimator_pg_", ignore_cleanup_errors=True) as name:
        yield name


def _token(service: Service) -> str:
    words = ("tokens", "add", "owner1@example.org", "--name", "fresh", "--role", "estimator")
    return service.command(*words).strip()


def _until_full(line: Line, desk: Desk) -> list[str]:
    """Write until there is no room; the numbers of the quotes that were made."""
    made, refused = [], None
    body = {"job_id": desk.job, "stated": desk.stated}
    for _ in range(WRITES):
        answer = line.ask("quote", "POST", "/quotes", body, wanted=(201, 507))
        assert answer, line.unexpected
        if answer.status == 507:
            refused = answer.document
            break
        made.append(str(answer.document["number"]))
    assert refused is not None, "the disk never was full"
    assert refused["status"] == 507
    assert "no room left" in refused["detail"] and "make room first" in refused["detail"]
    # A list takes more room than a quote.
    path = f"/catalogues/{desk.catalogue}/versions?file_name=newer.csv"
    sent = line.ask(
        "list", "POST", path, COUNTER.replace(",0.41,", ",0.43,").encode(), wanted=(507,),
        headers={"Content-Type": "text/csv"},
    )  # fmt: skip
    assert sent, line.unexpected
    return made


def _reading_goes_on(service: Service, line: Line, kept: list[str]) -> None:
    rows = all_quotes(line)
    assert [str(row["number"]) for row in rows] == kept, line.unexpected
    assert holes(rows) == []
    quote = rows[-1]["id"]
    documents = f"/quotes/{quote}/revisions/1/documents"
    for path in (f"/quotes/{quote}/revisions/1/snapshot", "/items?search=THHN",
                 f"{documents}/parts.csv"):  # fmt: skip
        assert line.ask("read", "GET", path), line.unexpected
    # These are made from temporary files, for which there is no room.
    for name in ("buying_list.pdf", "estimate.xlsx"):
        paper = line.ask("read", "GET", f"{documents}/{name}", wanted=(507,))
        assert paper and "make room first" in paper.document["detail"], line.unexpected
    estimate = line.ask("estimate", "POST", "/estimates", {"job": JOB, "catalogue": []})
    assert estimate, line.unexpected
    assert (service.status("/ready"), service.status("/health")) == (200, 200)


def _works_again(line: Line, desk: Desk, kept: list[str]) -> None:
    body: Any = {"job_id": desk.job, "stated": desk.stated}
    answer = line.ask("quote", "POST", "/quotes", body, wanted=(201,))
    assert answer, line.unexpected
    kept.append(str(answer.document["number"]))
    rows = all_quotes(line)
    assert [str(row["number"]) for row in rows] == kept
    assert holes(rows) == []


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_a_backup_that_finds_no_room_leaves_nothing(
    request: pytest.FixtureRequest, tmp_path: Path, kind: str
) -> None:
    with migrated(request, kind, tmp_path) as url:
        database = open_database(url)
        scope = new_scope(database)
        with database.writing() as session:
            owner = add_catalogue(session, scope, "Many")
            import_price_list(session, scope, owner.id, price_list(MANY))
        database.close()
        with small_disk(tmp_path / "disk", "60k") as disk:
            said = command(url, "backup", str(disk / "backup"))

            assert said.exit_code == 1
            assert "no room left" in said.output.lower().replace("no space left", "no room left")
            assert list(disk.iterdir()) == []
        again = tmp_path / "backup"
        assert command(url, "backup", str(again)).exit_code == 0
    assert make_url(url).database is not None
    told("backup to a full disk", kind, 1, 0, 0)


def test_a_workbook_that_finds_no_room_leaves_nothing(tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    job.write_text(json.dumps(JOB))
    with small_disk(tmp_path / "disk", "16k") as disk:
        out, result = disk / "quote.xlsx", disk / "result.json"
        for words in (["--out", str(out)], ["--json", str(result)]):
            said = CliRunner().invoke(cli.main, ["quote", str(job), "-c", str(LIST), *words])

            assert said.exit_code == 2, said.output
            assert "cannot be written: No space left on device" in said.output
            assert list(disk.iterdir()) == []
    told("documents on a full disk", "none", 1, 0, 0)


def test_no_room_for_temporary_files_is_told(tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    job.write_text(json.dumps(JOB))
    with small_disk(tmp_path / "disk", "64k") as disk, filled(disk):
        service = Service("sqlite:///unused", tmp_path, {"TMPDIR": str(disk)})
        said = service.tried("quote", str(job), "-c", str(LIST), "--out", str(tmp_path / "q.xlsx"))

    assert said.returncode == 2, said.stderr
    assert "temporary files: cannot be written: No space left on device" in said.stderr
    assert not (tmp_path / "q.xlsx").exists()


def test_requests_that_cannot_be_counted_are_answered(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> int:
        raise StorageFull("no room left")

    # So few that each request is told to the counter that all share.
    service = SharedService(database, replace(SHARED, requests_per_minute=3))
    program = service.office().program("reader")
    monkeypatch.setattr(rate_limits, "count", full)

    seen = [program("GET", "/api/v1/quotes").status_code for _ in range(4)]

    assert seen == [200, 200, 200, 429]
