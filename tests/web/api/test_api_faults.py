"""What goes wrong below the service is told as such, and nothing of it is kept."""

import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event, text
from store.databases import new_scope
from web.api.office import Office, open_app

from estimator.config import Config
from estimator.store.database import open_database
from estimator.web.app import create_app


def test_one_person_needs_no_set_up(tmp_path: Path) -> None:
    file = tmp_path / "new" / "estimator.sqlite"
    client = create_app(Config(database_url=f"sqlite:///{file}")).test_client()

    made = client.post("/api/v1/customers", json={"name": "A"})

    assert made.status_code == 201
    again = create_app(Config(database_url=f"sqlite:///{file}")).test_client()
    assert again.get("/api/v1/customers").json["total"] == 1


def test_what_stores_nothing_needs_no_database(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/never.sqlite"
    client = create_app(Config(database_url=url)).test_client()

    assert client.get("/api/v1/tables").status_code == 200
    assert list(tmp_path.iterdir()) == []


def test_a_database_that_is_gone_is_told_with_when_to_try_again() -> None:
    url = "postgresql://nobody@127.0.0.1:9/none"
    client = create_app(Config(database_url=url)).test_client()

    answer = client.get("/api/v1/customers")

    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) > 0
    assert answer.mimetype == "application/problem+json"
    assert "nobody" not in answer.text


def test_a_busy_database_is_told_and_serves_again(tmp_path: Path, sqlite_template: Path) -> None:
    file = tmp_path / "busy.sqlite"
    shutil.copy(sqlite_template, file)
    database = open_database(f"sqlite:///{file}", busy_ms=50)
    office = Office(open_app(database), new_scope(database))
    other = open_database(f"sqlite:///{file}")

    with other.writing() as writer:
        writer.execute(text("SELECT 1"))  # takes the lock
        busy = office.post("/customers", {"name": "A"})
    free = office.post("/customers", {"name": "A"})

    assert (busy.status_code, free.status_code) == (503, 201)
    assert int(busy.headers["Retry-After"]) > 0
    database.close()
    other.close()


def test_a_full_disk_is_told_and_the_file_stays_whole(
    tmp_path: Path, sqlite_template: Path
) -> None:
    file = tmp_path / "full.sqlite"
    shutil.copy(sqlite_template, file)
    database = open_database(f"sqlite:///{file}", busy_ms=50, pool_size=1)

    @event.listens_for(database.engine, "connect")
    def small(connection: Any, _record: object) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages + 4}")

    office = Office(open_app(database), new_scope(database))
    answers = [office.post("/customers", {"name": "A", "note": "x" * 4000}) for _ in range(10)]
    statuses = [answer.status_code for answer in answers]

    assert statuses[-1] == 507
    assert set(statuses) <= {201, 507}
    assert "room" in answers[-1].json["detail"]
    assert office.shown("/customers")["total"] == statuses.count(201)
    database.close()


def test_a_bug_is_told_without_its_words_and_keeps_nothing(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("secret words")

    monkeypatch.setattr("estimator.store.customers.note", broken)

    answer = office.post("/customers", {"name": "A"}, headers={"Idempotency-Key": "bug"})

    assert answer.status_code == 500
    assert "secret" not in answer.text
    monkeypatch.undo()
    assert office.shown("/customers")["total"] == 0
    # Nor is the key: the same request may be sent again.
    mended = office.post("/customers", {"name": "A"}, headers={"Idempotency-Key": "bug"})
    assert mended.status_code == 201
    assert datetime.fromisoformat(mended.json["created_at"]).tzinfo == UTC
