"""Secrets that are unknown, revoked, run out or malformed: one answer, by one way to it."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import quote

import pytest
from sqlalchemy import event
from ways_in import Way, ways_in
from web.people.conftest import office, quick_passwords, service
from web.people.shared_service import SHARED, Office

from estimator.store import access, invitations, links
from estimator.store.database import Database

__all__ = ["office", "quick_passwords", "service"]

# Headers that differ from one answer to the next.
_OWN = {"X-Request-ID", "Date"}


@contextmanager
def statements(database: Database) -> Iterator[list[str]]:
    """The statements that the database is sent meanwhile, without their parameters."""
    found: list[str] = []

    def keep(_c: Any, _u: Any, statement: str, *_: Any) -> None:
        found.append(statement)

    event.listen(database.engine, "before_cursor_execute", keep)
    yield found
    event.remove(database.engine, "before_cursor_execute", keep)


def asked(office: Office, way: Way, secret: str) -> list[Any]:
    """Everything that the secret would open."""
    client, place = office.service.app.test_client(), {"REMOTE_ADDR": "2001:db8::5"}
    how: dict[str, Any] = {"base_url": SHARED.public_url, "environ_base": place}
    if way.kind == "t_":
        # A header takes signs of Latin-1 only.
        text = secret.encode("utf-8").decode("latin-1")
        headers = {"Authorization": f"Bearer {text}"}
        return [client.get(path, headers=headers, **how) for path in ("/api/v1/me", "/api/v1/jobs")]
    text = quote(secret, safe="")
    if way.kind == "i_":
        return [client.get(f"/join/{text}", **how)]
    return [
        client.get(f"/offer/{text}", **how),
        client.post(f"/offer/{text}", data={"answer": "declined"}, **how),
        client.get(f"/offer/{text}/quote.pdf", **how),
        client.get(f"/api/v1/links/{text}", **how),
        client.get(f"/api/v1/links/{text}/quote.pdf", **how),
        client.post(f"/api/v1/links/{text}/decline", json={"revision": 1}, **how),
    ]


def test_the_answer_is_the_same_whatever_is_wrong_and_so_is_the_way_to_it(office: Office) -> None:
    database = office.service.database
    # Empty and too long are no such address at all; nobody's secret looks so.
    addressable = ("unknown", "short", "another kind", "no letters")
    for way in ways_in(office, malformed=addressable):
        told, sent = {}, {}
        for name, secret in way.wrong.items():
            with statements(database) as found:
                answers = asked(office, way, secret)
            sent[name] = [each for each in found if "rate_counters" not in each]
            told[name] = [
                (
                    answer.status_code,
                    answer.text.replace(quote(secret, safe=""), "SECRET"),
                    sorted(each for each in answer.headers if each[0] not in _OWN),
                )
                for answer in answers
            ]
        for name in told:
            assert told[name] == told["unknown"], (way.kind, name)
            assert sent[name] == sent["unknown"], (way.kind, name)
        assert {status for status, *_ in told["unknown"]} == {401 if way.kind == "t_" else 404}
        assert all(answer.status_code < 500 for answer in asked(office, way, way.right))


@pytest.mark.parametrize("module", [access, invitations, links])
def test_secrets_are_looked_for_by_their_digest_only(module: Any) -> None:
    """A digest that somebody guessed part of leads to no secret, so an index may compare it."""
    from pathlib import Path

    text = Path(module.__file__).read_text("utf-8")

    assert "token_hash == secret_hash(text)" in text
    assert "== text" not in text


def test_a_statement_holds_no_secret(office: Office) -> None:
    for way in ways_in(office):
        with statements(office.service.database) as found:
            asked(office, way, way.right)
        assert found
        assert not any(way.right in each for each in found)
