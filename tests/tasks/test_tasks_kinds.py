"""Imports, new prices of open quotes, batches of estimates, exports."""

import io
import json
import zipfile
from uuid import UUID, uuid4

import pytest
from store.store_rows import fill
from tasks.office import LIST, Office, dearer, job_document, new_office

from estimator.store.catalogues import versions_in_force
from estimator.store.database import Database
from estimator.store.files import find_file
from estimator.store.jobs import add_job
from estimator.store.quote_revisions import find_revisions
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.store.task_pieces import cancel_pieces, pieces_of
from estimator.store.tasks import add_task
from estimator.stored.price_lists import SentList, import_list
from estimator.tasks import reprice as repricing
from estimator.tasks.batch_estimate import ask_batch
from estimator.tasks.import_price_list import ask_import
from estimator.tasks.kinds import EXPORT_ORGANISATION
from estimator.tasks.reprice import ask_reprice, piece_name
from estimator.tasks.run import run_next, run_task


def ask(office: Office, sent: SentList, *, reprice: bool = False) -> UUID:
    with office.database.writing() as session:
        scope = office.now()
        return ask_import(session, scope, office.catalogue_id, sent, "text/csv", reprice=reprice).id


def in_force(office: Office) -> CatalogueVersionRow:
    with office.database.reading() as session:
        return versions_in_force(session, office.scope)[0]


def newer_list(office: Office) -> CatalogueVersionRow:
    with office.database.writing() as session:
        sent = SentList("counter.csv", dearer(LIST))
        return import_list(session, office.now(), office.catalogue_id, sent).version


def work_off(office: Office) -> None:
    while run_next(office.database):
        pass


def test_an_import_makes_the_version_in_force_and_tells_of_it(office: Office) -> None:
    task_id = ask(office, SentList("counter.csv", dearer(LIST)))

    run_task(office.database, task_id)

    task, version = office.task(task_id), in_force(office)
    assert task.state == "done"
    assert task.result is not None
    assert (version.number, task.result["version_id"]) == (2, str(version.id))
    assert task.result["items"] == version.items > 50
    assert not task.result["already"]


def test_the_same_list_once_more_changes_nothing(office: Office) -> None:
    task_id = ask(office, SentList("counter.csv", LIST))

    run_task(office.database, task_id)

    task = office.task(task_id)
    assert task.result is not None
    assert (task.result["already"], in_force(office).number) == (True, 1)


def test_a_list_that_cannot_be_read_fails_with_its_faults_and_leaves_nothing(
    office: Office,
) -> None:
    task_id = ask(office, SentList("odd.csv", b"what,is,this\n1,2,3\n"))

    run_task(office.database, task_id)

    task = office.task(task_id)
    assert (task.state, task.attempts) == ("failed", 1)
    assert "odd.csv" in (task.fault or "") or "column" in (task.fault or "")
    assert in_force(office).number == 1


def test_a_newer_list_gives_open_quotes_its_prices(office: Office) -> None:
    quotes = [office.quote() for _ in range(3)]
    before = {each: office.see(each).total for each in quotes}

    task_id = ask(office, SentList("counter.csv", dearer(LIST)), reprice=True)
    work_off(office)

    result = office.task(task_id).result
    assert result is not None
    reprice = office.task(UUID(result["reprice_task_id"]))
    assert reprice.result == {"quotes": 3, "pieces": 1}
    with office.database.reading() as session:
        pieces = pieces_of(session, office.scope, piece_name(reprice.id))
    assert (pieces.done, dict(pieces.counts)) == (
        1, {"repriced": 3, "passed_over": 0, "refused": 0},
    )  # fmt: skip
    for each in quotes:
        row = office.see(each)
        assert row.total > before[each]
        assert (row.newest, row.state) == (2, "draft")
        with office.database.reading() as session:
            revisions = find_revisions(session, office.scope, each)
        assert [revision.state for revision in revisions] == ["superseded", "draft"]
        assert revisions[-1].reason == "prices of Counter, version 2"
        assert revisions[0].total == before[each]


def test_repricing_twice_or_by_two_workers_makes_one_revision(office: Office) -> None:
    quote = office.quote()
    version = newer_list(office)
    with office.database.writing() as session:
        first = ask_reprice(session, office.now(), version).id
    with office.database.writing() as session:
        assert ask_reprice(session, office.now(), version).id == first
    work_off(office)
    assert office.see(quote).newest == 2

    # A piece that is done again, as after a worker was killed, finds nothing to do.
    with office.database.writing() as session:
        again = add_task(
            session, office.now(), "reprice some", {"quote_ids": [str(quote)], "reason": "x"}
        ).id
    run_task(office.database, again)
    assert office.task(again).result == {"repriced": 0, "passed_over": 1, "refused": []}
    assert office.see(quote).newest == 2


def test_many_quotes_are_priced_in_pieces_which_can_be_stopped(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(repricing, "QUOTES_AT_ONCE", 2)
    quotes = [office.quote() for _ in range(5)]
    version = newer_list(office)
    with office.database.writing() as session:
        task_id = ask_reprice(session, office.now(), version).id
    run_task(office.database, task_id)
    assert office.task(task_id).result == {"quotes": 5, "pieces": 3}

    run_next(office.database)
    with office.database.writing() as session:
        assert cancel_pieces(session, office.now(), piece_name(task_id)) == 2
    work_off(office)

    assert sorted(office.see(each).newest for each in quotes) == [1, 1, 1, 2, 2]


def test_a_quote_whose_job_cannot_be_estimated_any_more_is_told_and_stays(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    from estimator.finding import Fault, InputRefused

    quotes = [office.quote(), office.quote()]
    version = newer_list(office)
    usual = repricing.revise_quote

    def refuse(
        session: object, scope: object, quote_id: UUID, *rest: object, **how: object
    ) -> object:
        if quote_id == quotes[0]:
            raise InputRefused("request", (Fault("/description/run_length_ft", "is missing"),))
        return usual(session, scope, quote_id, *rest, **how)

    monkeypatch.setattr(repricing, "revise_quote", refuse)
    with office.database.writing() as session:
        task_id = ask_reprice(session, office.now(), version).id
    work_off(office)

    with office.database.reading() as session:
        counts = pieces_of(session, office.scope, piece_name(task_id)).counts
    assert dict(counts) == {"repriced": 1, "passed_over": 0, "refused": 1}
    assert [office.see(each).newest for each in quotes] == [1, 2]


def test_another_organisations_quotes_keep_their_prices(office: Office, database: Database) -> None:
    other = new_office(database)
    theirs, ours = other.quote(), office.quote()
    version = newer_list(office)
    with office.database.writing() as session:
        ask_reprice(session, office.now(), version)
    work_off(office)

    assert (office.see(ours).newest, other.see(theirs).newest) == (2, 1)


def test_a_batch_estimates_each_job_and_tells_what_is_wrong_with_one(office: Office) -> None:
    with office.database.writing() as session:
        odd = add_job(session, office.now(), "Odd", {**job_document(), "inlet": "no such"}).id
        asked = [office.job_id, odd, office.job_id]
        task_id = ask_batch(session, office.now(), asked).id

    run_task(office.database, task_id)

    result = office.task(task_id).result
    assert result is not None
    good, bad = result["jobs"]
    quoted = office.see(office.quote())
    assert (good["name"], good["total"]) == ("House", str(quoted.total))
    assert (bad["name"], "/description/inlet" in bad["fault"]) == ("Odd", True)


def test_an_export_has_every_row_and_no_secret(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        ids = fill(session, scope)
        task_id = add_task(session, scope, EXPORT_ORGANISATION, {}).id
    office = Office(database, scope, uuid4(), uuid4())

    run_task(database, task_id)

    task = office.task(task_id)
    assert task.state == "done", task.fault
    assert task.file_id is not None
    with database.reading() as session:
        content = find_file(session, scope, task.file_id).content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = set(archive.namelist())
        texts = {name: archive.read(name).decode() for name in names if name != "about.txt"}
    rows = {name: [json.loads(line) for line in text.splitlines()]
            for name, text in texts.items() if name.endswith(".jsonl")}  # fmt: skip
    for name in ("customers", "jobs", "job_versions", "catalogue_items", "quotes", "audit_entries"):
        assert rows[f"{name}.jsonl"], name
    assert rows["quotes.jsonl"][0]["id"] == str(ids["quote"])
    assert rows["quote_revisions.jsonl"][0]["snapshot"].startswith("{")
    assert {row["organisation_id"] for row in rows["jobs.jsonl"]} == {scope.organisation_id}
    assert [row["role"] for row in rows["people.jsonl"]] == ["owner"]
    assert any(name.startswith("files/") and name.endswith("_list.csv") for name in names)
    everything = "".join(texts.values())
    for secret in ("token_hash", "csrf_hash", "password_hash"):
        assert secret not in everything
    assert not names & {"login_sessions.jsonl", "idempotency_keys.jsonl", "stored_files.jsonl"}
