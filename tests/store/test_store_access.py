"""Ways in: sessions, tokens, invitations, customers' links. Secrets are kept as hashes only."""

import hashlib
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session
from store.databases import NOW
from store.store_rows import TODAY
from store.test_store_quotes import BARE

from estimator.store import access, invitations, links, people, quote_steps, quotes
from estimator.store.database import Database
from estimator.store.errors import Conflict, NoLongerValid, NotFound, StaleVersion
from estimator.store.listing import Page, list_rows
from estimator.store.quote_revisions import find_events
from estimator.store.scope import Scope
from estimator.store.secrets import Secret, new_secret, secret_hash
from estimator.store.tables import metadata
from estimator.store.tables.organisations import PersonRow
from estimator.store.tables.quotes import CustomerLinkRow
from estimator.store.tables.work import AuditEntryRow

LATER = NOW + timedelta(days=30)
LAST = LATER - timedelta(microseconds=1)


def member(database: Database, scope: Scope, role: str = "owner") -> PersonRow:
    with database.writing() as session:
        email = f" {uuid4().hex}@Example.org "
        person = people.add_person(session, email, "A. Person", "$argon2id$x", NOW)
        people.add_membership(session, scope, person.id, role)
        return person


def quote_of(session: Session, scope: Scope) -> UUID:
    return quotes.add_quote(session, scope, "Backup", BARE, year=2026).id


# Each of the ways in: what makes one, what opens it, what makes it useless.


def _session(session: Session, scope: Scope, person: UUID) -> tuple[UUID, Secret]:
    row, secret, _ = access.begin_session(session, scope, person, LATER)
    return row.id, secret


def _token(session: Session, scope: Scope, person: UUID) -> tuple[UUID, Secret]:
    row, secret = access.add_token(session, scope, person, "export", "reader", LATER)
    return row.id, secret


def _invitation(session: Session, scope: Scope, person: UUID) -> tuple[UUID, Secret]:
    row, secret = invitations.invite(session, scope, "new@example.org", "reader", LATER)
    return row.id, secret


def _link(session: Session, scope: Scope, person: UUID) -> tuple[tuple[UUID, UUID], Secret]:
    quote = quote_of(session, scope)
    row, secret = links.add_link(session, scope, quote, LATER)
    return (quote, row.id), secret


def _revoke_link(session: Session, scope: Scope, key: tuple[UUID, UUID]) -> None:
    links.revoke_link(session, scope, *key)


WAYS: dict[str, tuple[Callable, Callable, Callable]] = {
    "session": (_session, access.open_session, access.end_session),
    "token": (_token, access.open_token, access.revoke_token),
    "invitation": (_invitation, invitations.open_invitation, invitations.revoke_invitation),
    "link": (_link, links.open_link, _revoke_link),
}
every_way = pytest.mark.parametrize("way", WAYS)


@every_way
def test_a_secret_opens_until_it_expires(database: Database, scope: Scope, way: str) -> None:
    make, open_with, _ = WAYS[way]
    person = member(database, scope)
    with database.writing() as session:
        _, secret = make(session, scope, person.id)

    with database.reading() as session:
        opened = open_with(session, secret.text, LAST)
        owner = opened if way == "invitation" else opened.scope
        assert owner.organisation_id == scope.organisation_id
        for late in (LATER, LATER + timedelta(days=1)):
            with pytest.raises(NoLongerValid):
                open_with(session, secret.text, late)


@every_way
def test_a_revoked_secret_opens_nothing(database: Database, scope: Scope, way: str) -> None:
    make, open_with, revoke = WAYS[way]
    person = member(database, scope)
    with database.writing() as session:
        key, secret = make(session, scope, person.id)
        _, other = make(session, scope, person.id)
        revoke(session, scope, key)
        revoke(session, replace(scope, at=LATER), key)  # Once more does no harm.

    with database.reading() as session:
        with pytest.raises(NoLongerValid):
            open_with(session, secret.text, NOW)
        assert open_with(session, other.text, NOW)


@every_way
def test_a_forged_secret_opens_nothing_and_the_answer_tells_nothing(
    database: Database, scope: Scope, way: str
) -> None:
    make, open_with, revoke = WAYS[way]
    person = member(database, scope)
    with database.writing() as session:
        key, secret = make(session, scope, person.id)
        revoke(session, scope, key)
    text = secret.text
    forged = [
        "", text[:-1], text + "a", text.swapcase(), new_secret(text[:2]).text,
        secret.hash.hex(), "\ud800", "' OR 1=1 --", "\0",
    ]  # fmt: skip

    told = set()
    with database.reading() as session:
        for each in [text, *forged]:
            with pytest.raises(NoLongerValid) as refused:
                open_with(session, each, NOW)
            told.add(str(refused.value))
    assert len(told) == 1


@every_way
def test_another_organisation_cannot_revoke_it(
    database: Database, scope: Scope, other: Scope, way: str
) -> None:
    make, _, revoke = WAYS[way]
    person = member(database, scope)
    with database.writing() as session:
        key, _ = make(session, scope, person.id)

    with pytest.raises((NotFound, Exception)), database.writing() as session:
        revoke(session, other, key)


@every_way
def test_only_a_hash_is_kept_in_any_column_of_any_table(
    database: Database, scope: Scope, way: str
) -> None:
    make, _, _ = WAYS[way]
    person = member(database, scope)
    with database.writing() as session:
        _, secret = make(session, scope, person.id)

    found_hash = False
    with database.reading() as session:
        for table in metadata.sorted_tables:
            for row in session.connection().execute(select(table)):
                assert secret.text not in repr(row)
                assert secret.text[2:] not in repr(row)
                found_hash |= any(value == secret.hash for value in row)
    assert found_hash
    assert secret.hash == hashlib.sha256(secret.text.encode()).digest()


def test_secrets_are_256_random_bits_and_do_not_print() -> None:
    made = {new_secret("q_").text for _ in range(1_000)}

    assert len(made) == 1_000
    # 32 bytes in base64url are 43 characters (RFC 4648).
    assert {len(each) for each in made} == {2 + 43}
    secret = new_secret()
    assert secret.text not in f"{secret!r} {secret}"
    assert secret_hash(secret.text) == secret.hash


# Tokens and sessions.


@pytest.mark.parametrize(
    ("person_may", "token_may", "together"),
    [
        ("owner", "reader", "reader"),
        ("owner", "owner", "owner"),
        ("estimator", "owner", "estimator"),
        ("reader", "owner", "reader"),
        ("reader", "estimator", "reader"),
    ],
)
def test_a_token_may_never_do_more_than_its_person(
    database: Database, scope: Scope, person_may: str, token_may: Any, together: str
) -> None:
    person = member(database, scope, person_may)
    with database.writing() as session:
        _, secret = access.add_token(session, scope, person.id, "t", token_may, LATER)

    with database.reading() as session:
        assert access.open_token(session, secret.text, NOW).role == together


def test_sessions_and_tokens_end_with_the_membership(database: Database, scope: Scope) -> None:
    member(database, scope)
    person = member(database, scope)
    with database.writing() as session:
        _, ticket, _ = access.begin_session(session, scope, person.id, LATER)
        _, token = access.add_token(session, scope, person.id, "t", "owner", LATER)
    with database.writing() as session:
        people.remove_membership(session, scope, person.id, None)

    with database.reading() as session:
        with pytest.raises(NoLongerValid):
            access.open_session(session, ticket.text, NOW)
        with pytest.raises(NoLongerValid):
            access.open_token(session, token.text, NOW)


def test_a_disabled_person_is_not_let_in(database: Database, scope: Scope) -> None:
    person = member(database, scope)
    with database.writing() as session:
        _, token = access.add_token(session, scope, person.id, "t", "owner", LATER)
        people.find_person(session, person.id).disabled_at = NOW

    with pytest.raises(NoLongerValid), database.reading() as session:
        access.open_token(session, token.text, NOW)


def test_a_token_opens_no_session_and_the_other_way_round(database: Database, scope: Scope) -> None:
    person = member(database, scope)
    with database.writing() as session:
        _, ticket, csrf = access.begin_session(session, scope, person.id, LATER)
        _, token = access.add_token(session, scope, person.id, "t", "owner", LATER)

    with database.reading() as session:
        assert access.open_session(session, ticket.text, NOW).csrf_hash == csrf.hash
        for open_with, text in (
            (access.open_token, ticket.text), (access.open_session, token.text),
            (access.open_session, csrf.text),
        ):  # fmt: skip
            with pytest.raises(NoLongerValid):
                open_with(session, text, NOW)


def test_use_is_kept_every_few_minutes_only(database: Database, scope: Scope) -> None:
    person = member(database, scope)
    with database.writing() as session:
        _, secret = access.add_token(session, scope, person.id, "t", "owner", LATER)

    def seen(at: datetime) -> bool:
        with database.writing() as session:
            opened = access.open_token(session, secret.text, at)
            if not opened.seen_lately:
                access.keep_use(session, opened)
            return opened.seen_lately

    minutes = [0, 4, 6, 7]
    assert [seen(NOW + timedelta(minutes=each)) for each in minutes] == [False, True, False, True]


def test_a_token_is_for_members_only(database: Database, scope: Scope, other: Scope) -> None:
    person = member(database, other)

    for make in (_session, _token):
        with pytest.raises(NotFound), database.writing() as session:
            make(session, scope, person.id)


# People and invitations.


def test_an_address_is_one_person_whatever_its_letter_case(
    database: Database, scope: Scope
) -> None:
    person = member(database, scope)

    with database.reading() as session:
        found = people.person_by_email(session, f"  {person.email.upper()} ")
        assert found is not None
        assert found.id == person.id
    with pytest.raises(Conflict, match="has an account"), database.writing() as session:
        people.add_person(session, person.email.swapcase(), "Other", None, NOW)


def test_the_last_owner_stays(database: Database, scope: Scope) -> None:
    owner, reader = member(database, scope), member(database, scope, "reader")

    for call in (
        lambda s: people.remove_membership(s, scope, owner.id, None),
        lambda s: people.change_role(s, scope, owner.id, "reader", None),
    ):
        with pytest.raises(Conflict, match="needs an owner"), database.writing() as session:
            call(session)
    with database.writing() as session:
        people.change_role(session, scope, reader.id, "owner", 1)
    with pytest.raises(StaleVersion), database.writing() as session:
        people.change_role(session, scope, reader.id, "reader", 1)
    with database.writing() as session:
        people.remove_membership(session, scope, owner.id, None)


def test_an_invitation_lets_one_person_in_once(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        guest = people.add_person(session, f"{uuid4().hex}@example.org", "Guest", "x", NOW)
        stranger = people.add_person(session, f"{uuid4().hex}@example.org", "Other", "x", NOW)
        _, secret = invitations.invite(session, scope, guest.email.upper(), "estimator", LATER)

    with pytest.raises(NoLongerValid, match="another address"), database.writing() as session:
        row = invitations.open_invitation(session, secret.text, NOW)
        invitations.accept_invitation(session, row, stranger, NOW)
    with database.writing() as session:
        row = invitations.open_invitation(session, secret.text, NOW)
        assert invitations.accept_invitation(session, row, guest, NOW) == Scope(
            scope.organisation_id, NOW, guest.id, "Guest"
        )
    with pytest.raises(NoLongerValid), database.reading() as session:
        invitations.open_invitation(session, secret.text, NOW)
    with database.reading() as session:
        assert people.find_membership(session, scope, guest.id).role == "estimator"
        (only,) = people.memberships_of(session, guest.id)
        assert only.organisation_id == scope.organisation_id


# Customers' links.


def test_a_customer_accepts_by_link_and_that_is_recorded(database: Database, scope: Scope) -> None:
    with database.writing() as session:
        quote = quote_of(session, scope)
        quote_steps.send_quote(session, scope, quote, TODAY, None)
        row, secret = links.add_link(session, scope, quote, LATER)

    with database.writing() as session:
        opened = links.open_link(session, secret.text, NOW + timedelta(days=1))
        links.link_seen(session, opened)
        assert opened.quote_id == quote
        quote_steps.answer_quote(
            session, opened.scope, opened.quote_id, "accepted", TODAY, None, link_id=opened.link_id
        )

    with database.reading() as session:
        last = find_events(session, scope, quote)[-1]
        assert (last.after, last.link_id, last.by_person) == ("accepted", row.id, None)
        assert (last.by_name, last.at) == ("customer, by link", NOW + timedelta(days=1))
        (kept,) = list_rows(session, scope, CustomerLinkRow, Page()).rows
        assert kept.seen_at == NOW + timedelta(days=1)


def test_a_link_of_one_quote_cannot_be_revoked_under_another(
    database: Database, scope: Scope
) -> None:
    with database.writing() as session:
        one, two = quote_of(session, scope), quote_of(session, scope)
        row, _ = links.add_link(session, scope, one, LATER)

    with pytest.raises(NotFound), database.writing() as session:
        links.revoke_link(session, scope, two, row.id)


def test_ways_in_are_in_the_audit_trail_without_their_secrets(
    database: Database, scope: Scope
) -> None:
    person = member(database, scope)
    with database.writing() as session:
        for make, _, revoke in WAYS.values():
            key, _ = make(session, scope, person.id)
            revoke(session, scope, key)

    with database.reading() as session:
        entries = list_rows(session, scope, AuditEntryRow, Page(100)).rows
    assert {each.action for each in entries} >= {
        "joined", "logged in", "added", "revoked", "invited", "link made", "link revoked",
    }  # fmt: skip
