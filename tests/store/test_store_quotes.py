"""Quotes: numbers without holes, states, whole revisions that stay as they are, copies."""

import json
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from uuid import UUID

import pytest
from quotes.quote_snapshots import JOB, RESULT, VALID_UNTIL, result, snapshot
from sqlalchemy import update
from store.store_rows import TODAY, add_version, plain_item, priced_from

from estimator.quotes.basis import read_basis
from estimator.quotes.difference import revision_difference
from estimator.quotes.records import Basis, Snapshot, Used
from estimator.quotes.snapshot import text_digest
from estimator.quotes.states import NotAllowed
from estimator.store import catalogues, copies, jobs, quote_revisions, quote_steps, quotes
from estimator.store.customers import add_customer
from estimator.store.database import Database
from estimator.store.errors import Conflict, DatabaseDamaged, Immutable, NotFound, StaleVersion
from estimator.store.guard import ORGANISATION
from estimator.store.listing import Page, list_rows
from estimator.store.scope import Scope
from estimator.store.tables.quotes import CounterRow, QuoteRevisionRow, QuoteRow
from estimator.store.tables.work import AuditEntryRow

BARE = replace(snapshot(), basis=Basis("0.1.0", ()))
AFTER = VALID_UNTIL + timedelta(days=1)


def add(database: Database, scope: Scope, made: Snapshot = BARE, year: int = 2026) -> QuoteRow:
    with database.writing() as session:
        return quotes.add_quote(session, scope, "Backup", made, year=year)


def revise(database: Database, scope: Scope, quote: UUID, made: Snapshot = BARE) -> None:
    with database.writing() as session:
        quotes.add_revision(session, scope, quote, made, "newer prices", None)


def send(database: Database, scope: Scope, quote: UUID, today: date = TODAY) -> QuoteRow:
    with database.writing() as session:
        return quote_steps.send_quote(session, scope, quote, today, None)


def answer(database: Database, scope: Scope, quote: UUID, said: str, **other: object) -> QuoteRow:
    with database.writing() as session:
        return quote_steps.answer_quote(
            session, scope, quote, said, other.pop("today", TODAY), None, **other
        )


def states(database: Database, scope: Scope, quote: UUID) -> tuple[str, ...]:
    """Of the quote, then of each revision."""
    with database.reading() as session:
        row = quotes.find_quote(session, scope, quote)
        revisions = quote_revisions.find_revisions(session, scope, quote)
        return (row.state, *(each.state for each in revisions))


# Numbers.


def test_numbers_begin_anew_with_each_year_and_organisation(
    database: Database, scope: Scope, other: Scope
) -> None:
    asked = [(scope, 2026), (scope, 2026), (scope, 2027), (other, 2026), (scope, 2026)]

    numbers = [add(database, owner, year=year).number for owner, year in asked]

    assert numbers == ["2026-0001", "2026-0002", "2027-0001", "2026-0001", "2026-0003"]


def test_a_quote_that_fails_gives_its_number_back(database: Database, scope: Scope) -> None:
    first = add(database, scope)
    with pytest.raises(ZeroDivisionError), database.writing() as session:
        assert quotes.add_quote(session, scope, "Backup", BARE, year=2026).sequence == 2
        raise ZeroDivisionError
    gone = replace(BARE, basis=replace(BARE.basis, catalogues=(Used(str(first.id), "x", 1, ""),)))
    with pytest.raises(NotFound), database.writing() as session:
        quotes.add_quote(session, scope, "Backup", gone, year=2026)

    assert add(database, scope).sequence == 2


def test_writers_at_the_same_time_leave_no_hole(database: Database, scope: Scope) -> None:
    """Eight at once, of whom some fail after they have got their number."""
    ready = threading.Barrier(8)

    def write(worker: int) -> None:
        ready.wait()
        for each in range(5):
            try:
                with database.writing() as session:
                    quotes.add_quote(session, scope, f"{worker}.{each}", BARE, year=2026)
                    if (worker + each) % 4 == 0:
                        raise ZeroDivisionError
            except ZeroDivisionError:
                pass

    run_all(write, 8)

    with database.reading() as session:
        rows = list_rows(session, scope, QuoteRow, Page(100)).rows
        counter = session.get(
            CounterRow, (scope.organisation_id, "quotes/2026"), execution_options=scope.options
        )
        assert counter is not None
        assert counter.value == len(rows) == 30
        assert sorted(row.sequence for row in rows) == list(range(1, 31))


def run_all(work: Callable[[int], None], count: int) -> None:
    threads = [threading.Thread(target=work, args=(each,)) for each in range(count)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()


# States.


def test_a_sent_quote_is_accepted_and_everything_is_kept_of_it(
    database: Database, scope: Scope
) -> None:
    quote = add(database, scope)
    later = replace(scope, at=scope.at + timedelta(hours=2), person_name="A. Estimator")

    send(database, later, quote.id)
    answered = answer(database, replace(later, at=later.at + timedelta(days=1)), quote.id,
                      "accepted", why="by telephone")  # fmt: skip

    assert answered.state == "accepted"
    with database.reading() as session:
        events = quote_revisions.find_events(session, scope, quote.id)
    assert [(each.before, each.after, each.by_name, each.note) for each in events] == [
        (None, "draft", "Test", ""),
        ("draft", "sent", "A. Estimator", ""),
        ("sent", "accepted", "A. Estimator", "by telephone"),
    ]
    assert events[2].at - events[1].at == timedelta(days=1)


def test_an_accepted_quote_stays_as_it_is(database: Database, scope: Scope) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)
    answer(database, scope, quote.id, "accepted")

    for step in (revise, send):
        with pytest.raises(NotAllowed):
            step(database, scope, quote.id)
    for said in ("accepted", "declined"):
        with pytest.raises(NotAllowed, match="nothing to answer"):
            answer(database, scope, quote.id, said)
    assert states(database, scope, quote.id) == ("accepted", "accepted")


def test_a_draft_cannot_be_answered(database: Database, scope: Scope) -> None:
    quote = add(database, scope)

    with pytest.raises(NotAllowed, match="is draft; there is nothing to answer"):
        answer(database, scope, quote.id, "accepted")


def test_a_newer_revision_supersedes_what_was_sent_only_when_it_is_sent(
    database: Database, scope: Scope
) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)
    revise(database, scope, quote.id)
    assert states(database, scope, quote.id) == ("draft", "sent", "draft")

    revise(database, scope, quote.id)
    assert states(database, scope, quote.id) == ("draft", "sent", "superseded", "draft")

    send(database, scope, quote.id)
    assert states(database, scope, quote.id) == ("sent", "superseded", "superseded", "sent")


def test_what_was_sent_can_be_accepted_while_a_draft_is_being_made(
    database: Database, scope: Scope
) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)
    dearer = result(totals=RESULT["price"]["totals"] | {"total": "200.00"})
    revise(database, scope, quote.id, replace(snapshot(dearer), basis=BARE.basis))

    answered = answer(database, scope, quote.id, "accepted")

    assert (answered.state, str(answered.total)) == ("accepted", "149.51")
    assert states(database, scope, quote.id) == ("accepted", "accepted", "superseded")


def test_the_answer_is_to_the_revision_that_was_seen(database: Database, scope: Scope) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)
    revise(database, scope, quote.id)
    send(database, scope, quote.id)

    with pytest.raises(NotAllowed, match="Revision 2 was sent since"):
        answer(database, scope, quote.id, "accepted", revision=1)
    assert answer(database, scope, quote.id, "declined", revision=2).state == "declined"


def test_after_the_last_day_it_can_be_declined_but_not_accepted(
    database: Database, scope: Scope
) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)

    with pytest.raises(NotAllowed, match="could be accepted until 2026-04-01"):
        answer(database, scope, quote.id, "accepted", today=AFTER)
    assert answer(database, scope, quote.id, "declined", today=AFTER).state == "declined"


def test_quotes_expire_by_date_once_and_only_those_of_the_organisation(
    database: Database, scope: Scope, other: Scope
) -> None:
    sent, draft, foreign = add(database, scope), add(database, scope), add(database, other)
    send(database, scope, sent.id)
    send(database, other, foreign.id)

    def expire(today: date) -> int:
        with database.writing() as session:
            return quote_steps.expire_quotes(session, scope, today)

    assert [expire(VALID_UNTIL), expire(AFTER), expire(AFTER)] == [0, 1, 0]
    assert states(database, scope, sent.id)[0] == "expired"
    assert states(database, scope, draft.id)[0] == "draft"
    assert states(database, other, foreign.id)[0] == "sent"
    revise(database, scope, sent.id)
    send(database, scope, sent.id)
    assert states(database, scope, sent.id) == ("sent", "superseded", "sent")


@pytest.mark.parametrize("match", ["proposed", "unpriced"])
def test_what_is_not_sure_is_not_sent_unless_the_document_states_it(
    database: Database, scope: Scope, match: str
) -> None:
    lines = [RESULT["price"]["lines"][0] | {"match": match}, RESULT["price"]["lines"][1]]
    made = replace(snapshot(result(lines=lines, complete=False)), basis=BARE.basis)
    kind = "proposed_match" if match == "proposed" else "unpriced_part"
    stated = replace(snapshot(result(lines=lines), stated=(kind,)), basis=BARE.basis)
    quote = add(database, scope, made)

    with pytest.raises(NotAllowed, match="L14-30 power inlet box"):
        send(database, scope, quote.id)
    assert states(database, scope, quote.id) == ("draft", "draft")
    revise(database, scope, quote.id, stated)
    assert send(database, scope, quote.id).state == "sent"


def test_of_two_answers_at_the_same_moment_one_counts(database: Database, scope: Scope) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)
    ready, outcomes = threading.Barrier(4), []

    def say(worker: int) -> None:
        ready.wait()
        try:
            answer(database, scope, quote.id, "accepted" if worker % 2 else "declined")
            outcomes.append("kept")
        except (NotAllowed, StaleVersion):
            outcomes.append("refused")

    run_all(say, 4)

    assert sorted(outcomes) == ["kept", "refused", "refused", "refused"]
    with database.reading() as session:
        assert len(quote_revisions.find_events(session, scope, quote.id)) == 3


def test_who_saw_an_older_version_of_the_quote_is_refused(database: Database, scope: Scope) -> None:
    quote = add(database, scope)
    with database.writing() as session:
        quotes.change_quote(session, scope, quote.id, 1, title="Other", customer_id=None)

    with pytest.raises(StaleVersion), database.writing() as session:
        quote_steps.send_quote(session, scope, quote.id, TODAY, 1)
    with pytest.raises(StaleVersion), database.writing() as session:
        quotes.add_revision(session, scope, quote.id, BARE, "", 1)


# Whole revisions.


def test_a_revision_keeps_job_result_and_basis_to_the_byte(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("A")])
        made = priced_from(version, job={"name": "Größe \u2028 \U0001f50c"})
        quote = quotes.add_quote(session, scope, "Backup", made, year=2026)

    with database.reading() as session:
        row = quote_revisions.find_revision(session, scope, quote.id, 1)
        document = quote_revisions.snapshot_document(row)
    assert row.snapshot == made.text
    assert text_digest(row.snapshot) == row.snapshot_digest == made.digest
    assert (document["result"], document["job"]) == (RESULT, {"name": "Größe \u2028 \U0001f50c"})
    assert read_basis(document["basis"]) == read_basis(row.basis) == made.basis
    assert made.basis.catalogues[0].version == 1


def test_an_old_revision_is_the_same_after_a_newer_list_and_a_newer_revision(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("A")])
        made = priced_from(version)
        quote = quotes.add_quote(session, scope, "Backup", made, year=2026)
        job = jobs.add_job(session, scope, "House", JOB)
    with database.writing() as session:
        add_version(session, scope, [plain_item("A")])
        jobs.save_job(session, scope, job.id, JOB | {"run_length_ft": 99}, None)
        newer = result(totals=RESULT["price"]["totals"] | {"materials": "80.29", "total": "160"})
        quotes.add_revision(session, scope, quote.id, priced_from(version, made=newer), "up", None)

    with database.reading() as session:
        first, second = quote_revisions.find_revisions(session, scope, quote.id)
        assert first.snapshot == made.text
        found = revision_difference(
            quote_revisions.snapshot_document(first), quote_revisions.snapshot_document(second)
        )
    assert [(each.name, str(each.amount)) for each in found.money] == [
        ("materials", "10.00"), ("total", "10.49"),
    ]  # fmt: skip


def test_a_revision_cannot_be_changed(database: Database, scope: Scope) -> None:
    quote = add(database, scope)

    with pytest.raises(Immutable), database.writing() as session:
        quote_revisions.find_revision(session, scope, quote.id, 1).snapshot = "{}"
    with pytest.raises(Immutable), database.writing() as session:
        session.delete(quote_revisions.find_revision(session, scope, quote.id, 1))


def test_a_revision_that_was_altered_behind_our_back_is_noticed(
    database: Database, scope: Scope
) -> None:
    quote = add(database, scope)
    with database.writing() as session:
        session.execute(
            update(QuoteRevisionRow)
            .where(QuoteRevisionRow.quote_id == quote.id)
            .values(snapshot=BARE.text.replace("149.51", "149.52"))
            .execution_options(**{ORGANISATION: scope.organisation_id})
        )

    with database.reading() as session:
        row = quote_revisions.find_revision(session, scope, quote.id, 1)
        with pytest.raises(DatabaseDamaged, match="is not what was kept"):
            quote_revisions.snapshot_document(row)


def test_a_list_that_a_quote_was_priced_from_stays(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("A")])
        quote = quotes.add_quote(session, scope, "Backup", priced_from(version), year=2026)

    with pytest.raises(Conflict, match="priced from this"), database.writing() as session:
        catalogues.remove_catalogue_version(session, scope, version.id)
    with database.reading() as session:
        assert [each.id for each in quotes.quotes_priced_from(session, scope, version.id)] == [
            quote.id
        ]


def test_only_open_quotes_are_found_for_a_newer_list(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        version = add_version(session, scope, [plain_item("A")])
        newer = add_version(session, scope, [plain_item("A")])
        made = priced_from(version)
        rows = [quotes.add_quote(session, scope, "x", made, year=2026) for _ in range(4)]
    draft, sent, accepted, repriced = (row.id for row in rows)
    for each in (sent, accepted):
        send(database, scope, each)
    answer(database, scope, accepted, "accepted")
    revise(database, scope, repriced, priced_from(newer))

    with database.reading() as session:
        found = quotes.quotes_priced_from(session, scope, version.id)
        assert {each.id for each in found} == {draft, sent}


# Copies.


def test_a_job_is_made_from_a_template(database: Database, scope: Scope, other: Scope) -> None:
    with database.writing() as session:
        template = jobs.add_job(session, scope, "Well pump", JOB, template=True)
        jobs.save_job(session, scope, template.id, JOB | {"run_length_ft": 30}, None)
        made = copies.copy_job(session, scope, template.id, "House of A.")
        older = copies.copy_job(session, scope, template.id, "Other", number=1, template=True)

    with database.reading() as session:
        version = jobs.find_job_version(session, scope, made.id, 1)
        assert jobs.job_document(version)["run_length_ft"] == 30
        assert version.note == "copied from Well pump, version 2"
        assert (made.template, older.template) == (False, True)
        first = jobs.find_job_version(session, scope, older.id, 1)
        assert jobs.job_document(first) == JOB
    with pytest.raises(NotFound), database.writing() as session:
        copies.copy_job(session, other, template.id, "Theirs")


def test_a_copy_of_an_accepted_quote_is_a_draft_with_its_own_number(
    database: Database, scope: Scope, other: Scope
) -> None:
    with database.writing() as session:
        customer = add_customer(session, scope, {"name": "A. Customer"})
        version = add_version(session, scope, [plain_item("A")])
        quote = quotes.add_quote(
            session, scope, "Backup", priced_from(version), year=2026, customer_id=customer.id
        )
    send(database, scope, quote.id)
    answer(database, scope, quote.id, "accepted")
    until = date(2027, 1, 31)

    with database.writing() as session:
        copy = copies.copy_quote(session, scope, quote.id, year=2027, valid_until=until)

    assert (copy.number, copy.state, copy.copied_from) == ("2027-0001", "draft", quote.id)
    assert (copy.customer_id, copy.title, copy.valid_until) == (customer.id, "Backup", until)
    with database.reading() as session:
        one = json.loads(quote_revisions.find_revision(session, scope, quote.id, 1).snapshot)
        two = json.loads(quote_revisions.find_revision(session, scope, copy.id, 1).snapshot)
        assert one | {"valid_until": until.isoformat()} == two
    with pytest.raises(NotFound), database.writing() as session:
        copies.copy_quote(session, other, quote.id, year=2027, valid_until=until)


def test_what_is_done_to_a_quote_is_in_the_audit_trail(database: Database, scope: Scope) -> None:
    quote = add(database, scope)
    send(database, scope, quote.id)
    revise(database, scope, quote.id)
    answer(database, scope, quote.id, "declined")

    with database.reading() as session:
        entries = list_rows(
            session, scope, AuditEntryRow, Page(), AuditEntryRow.subject_id == str(quote.id)
        ).rows
    assert [each.action for each in entries] == ["added", "sent", "revised", "declined"]
    assert {each.by_name for each in entries} == {"Test"}
