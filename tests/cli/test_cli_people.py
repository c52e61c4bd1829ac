"""``estimator people`` and ``estimator tokens``: the first owner, and ways in for programs."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from estimator.cli import main
from estimator.store import care
from estimator.store.access import open_token
from estimator.store.database import open_database
from estimator.store.errors import NoLongerValid
from estimator.store.people import person_by_email
from estimator.web.passwords import password_fits

PASSWORD = "seven invented words"


@pytest.fixture
def url(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    url = f"sqlite:///{tmp_path / 'estimator.sqlite'}"
    monkeypatch.setenv("ESTIMATOR_DATABASE_URL", url)
    opened = open_database(url)
    care.upgrade(opened)
    opened.close()
    return url


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(main, list(words), input=given)


def add_owner(email: str = "owner@example.org", *more: str) -> Result:
    return run(
        "people", "add", email, "--name", "First Owner", "--password-stdin", *more,
        given=f"{PASSWORD}\n",
    )  # fmt: skip


def test_the_first_owner_makes_the_organisation(url: str) -> None:
    added = add_owner("owner@example.org", "--organisation", "Invented Electric")
    listed = run("people", "list")

    assert added.exit_code == 0, added.output
    assert "owner@example.org is owner of organisation 1" in added.output
    assert "1  Invented Electric" in listed.output
    assert re.search(r"owner +owner@example.org +First Owner", listed.output)
    assert PASSWORD not in added.output + listed.output


def test_a_password_is_asked_for_twice_without_showing_it(url: str) -> None:
    typed = run("people", "add", "a@example.org", "--name", "A", given=f"{PASSWORD}\n{PASSWORD}\n")

    assert typed.exit_code == 0, typed.output
    assert PASSWORD not in typed.output


@pytest.mark.parametrize(
    ("email", "password", "where"),
    [
        ("owner@example.org", "short", "password"),
        ("owner", PASSWORD, "EMAIL"),
        ("a b@c", PASSWORD, "EMAIL"),
    ],
)
def test_what_cannot_be_used_is_refused_and_nobody_is_added(
    url: str, email: str, password: str, where: str
) -> None:
    refused = run("people", "add", email, "--name", "A", "--password-stdin", given=f"{password}\n")

    assert refused.exit_code == 2
    assert refused.output.startswith(f"{where}: ")
    assert run("people", "list").output == ""


def test_a_second_person_joins_the_one_organisation_and_not_twice(url: str) -> None:
    add_owner()
    first = add_owner("reader@example.org", "--role", "reader")
    again = add_owner("reader@example.org", "--role", "owner")

    assert "reader of organisation 1" in first.output
    assert again.exit_code == 1
    assert "in the organisation already" in again.output


def test_with_several_organisations_one_has_to_be_named(url: str) -> None:
    add_owner("a@example.org", "--organisation", "First Office")
    add_owner("b@example.org", "--organisation", "Second Office")

    unclear = add_owner("c@example.org")
    named = add_owner("c@example.org", "--organisation", "2")
    unknown = run("tokens", "list", "--organisation", "Third Office")

    assert unclear.exit_code == 2
    assert "1 (First Office), 2 (Second Office)" in unclear.output
    assert "organisation 2" in named.output
    assert (unknown.exit_code, "no such organisation" in unknown.output) == (2, True)


def test_a_token_is_shown_once_kept_hashed_listed_and_revoked(url: str, tmp_path: Path) -> None:
    add_owner()
    made = run("tokens", "add", "owner@example.org", "--name", "accountant", "--days", "30")
    secret = made.stdout.strip()
    listed = run("tokens", "list")
    number = listed.output.split()[0]
    now = datetime.now(UTC)
    opened = open_database(url)

    assert made.exit_code == 0, made.output
    assert re.fullmatch(r"t_[A-Za-z0-9_-]{43}", secret)
    assert "reader" in listed.output
    assert "never used" in listed.output
    assert "accountant (owner@example.org)" in listed.output
    assert secret not in listed.output
    assert not [file for file in tmp_path.iterdir() if secret.encode() in file.read_bytes()]
    with opened.reading() as session:
        assert open_token(session, secret, now).role == "reader"
        with pytest.raises(NoLongerValid):
            open_token(session, secret, now + timedelta(days=31))
    assert run("tokens", "revoke", number).exit_code == 0
    with opened.reading() as session, pytest.raises(NoLongerValid):
        open_token(session, secret, now)
    opened.close()
    assert "revoked" in run("tokens", "list").output


def test_a_token_of_nobody_and_a_token_that_is_none_are_told(url: str) -> None:
    add_owner()
    nobody = run("tokens", "add", "nobody@example.org", "--name", "x")
    none = run("tokens", "revoke", "018f0000-0000-7000-8000-000000000001")

    assert (nobody.exit_code, none.exit_code) == (1, 1)
    assert "no person nobody@example.org" in nobody.output
    assert "no token" in none.output


def test_without_tables_the_command_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ESTIMATOR_DATABASE_URL", f"sqlite:///{tmp_path / 'none.sqlite'}")

    told = run("people", "list")

    assert told.exit_code == 1
    assert "estimator db upgrade" in told.output


def test_local_mode_refuses_to_serve_where_others_could_reach_it(
    url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ESTIMATOR_HOST", "0.0.0.0")

    refused = run("serve")

    assert refused.exit_code == 2
    assert "local mode has no login" in refused.output


def test_a_worker_is_for_the_queue_only(url: str) -> None:
    refused = run("work")

    assert refused.exit_code == 2
    assert "the service itself works off tasks" in refused.output


def test_a_forgotten_password_is_replaced_and_somebody_shut_out_and_let_in(url: str) -> None:
    add_owner()
    secret = run("tokens", "add", "owner@example.org", "--name", "x").stdout.strip()
    fresh = run(
        "people", "password", "owner@example.org", "--password-stdin",
        given="eight other invented words\n",
    )  # fmt: skip
    short = run("people", "password", "owner@example.org", "--password-stdin", given="x\n")
    nobody = run("people", "password", "nobody@example.org", "--password-stdin", given="x\n")
    opened = open_database(url)

    assert (fresh.exit_code, short.exit_code, nobody.exit_code) == (0, 2, 1), fresh.output
    with opened.reading() as session:
        person = person_by_email(session, "owner@example.org")
        assert person is not None
        assert password_fits(person.password_hash, "eight other invented words")
    assert run("people", "disable", "owner@example.org").exit_code == 0
    with opened.reading() as session, pytest.raises(NoLongerValid):
        open_token(session, secret, datetime.now(UTC))
    assert run("people", "disable", "owner@example.org", "--undo").exit_code == 0
    with opened.reading() as session:
        open_token(session, secret, datetime.now(UTC))
    opened.close()
