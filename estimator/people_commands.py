"""The commands ``estimator people`` and ``estimator tokens``: the first owner, and ways in.

Meant for whoever looks after the service and can open its database. The store is imported only
when a command runs: its libraries take half a second.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID

import click

from estimator.config import Config
from estimator.finding import Fault, InputRefused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from estimator.store.scope import Scope
    from estimator.store.tables.organisations import PersonRow

FAILED = 1
BAD_INPUT = 2
_ROLES = click.Choice(["owner", "estimator", "reader"])
_ORGANISATION = click.option(
    "--organisation", "-o", default="", metavar="NAME",
    help="Name or number of the organisation; needed where there are several.",
)  # fmt: skip


@click.group()
def people() -> None:
    """People who may sign in in shared mode, and their roles."""


@people.command("add")
@click.argument("email")
@click.option("--name", required=True, help="The person's name, as quotes and the trail show it.")
@click.option("--role", type=_ROLES, default="owner", show_default=True)
@_ORGANISATION
@click.option("--password-stdin", is_flag=True, help="Read the password from the standard input.")
def add(email: str, name: str, role: str, organisation: str, password_stdin: bool) -> None:
    """Let the person with the address EMAIL in; makes the organisation if there is none.

    Somebody who has an account already keeps name and password.
    """
    from estimator.store.people import add_membership, add_person, person_by_email
    from estimator.web.passwords import password_hash

    _check_email(email)
    with _store() as session:
        known = person_by_email(session, email)
    with _refused():
        fresh = "" if known else password_hash(_password(password_stdin))
    with _store(write=True) as session:
        at = datetime.now(UTC)
        scope = _scope(session, organisation, make=True)
        person = person_by_email(session, email) or add_person(
            session, email, name.strip(), fresh, at
        )
        add_membership(session, scope, person.id, role)  # type: ignore[arg-type]
    click.echo(f"{person.email} is {role} of organisation {scope.organisation_id}.")


@people.command("list")
def list_people() -> None:
    """List every organisation with its people."""
    from estimator.store.organisation_list import everybody

    with _store() as session:
        for each in everybody(session):
            click.echo(f"{each.organisation_id}  {each.organisation}")
            for person in each.people:
                click.echo(f"    {person.role:<10} {person.email}  {person.name}")


@people.command("password")
@click.argument("email")
@click.option("--password-stdin", is_flag=True, help="Read the password from the standard input.")
def set_password(email: str, password_stdin: bool) -> None:
    """Give somebody who forgot theirs another password; ends all their sign-ins."""
    from estimator.store.sign_ins import keep_password
    from estimator.web.passwords import password_hash

    with _store() as session:
        _person(session, email)
    with _refused():
        fresh = password_hash(_password(password_stdin))
    with _store(write=True) as session:
        keep_password(session, _person(session, email), fresh, datetime.now(UTC))
    click.echo(f"{email} has another password.")


@people.command("disable")
@click.argument("email")
@click.option("--undo", is_flag=True, help="Let the person in again.")
def disable(email: str, undo: bool) -> None:
    """Shut somebody out of every organisation at once, tokens too."""
    from estimator.store.sign_ins import keep_disabled

    with _store(write=True) as session:
        keep_disabled(session, _person(session, email), datetime.now(UTC), disabled=not undo)
    click.echo(f"{email} {'may sign in again' if undo else 'is shut out'}.")


@click.group()
def tokens() -> None:
    """Tokens by which programs use the service."""


@tokens.command("add")
@click.argument("email")
@click.option("--name", required=True, help="What the token is for.")
@click.option("--role", type=_ROLES, default="reader", show_default=True,
              help="The most that it may do; never more than its person.")  # fmt: skip
@click.option("--days", type=click.IntRange(1, 3650), default=90, show_default=True)
@_ORGANISATION
def add_token(email: str, name: str, role: str, days: int, organisation: str) -> None:
    """Make a token of the person with the address EMAIL; it is shown this once only."""
    from estimator.store import access

    with _store(write=True) as session:
        scope = _scope(session, organisation)
        person = _person(session, email)
        expires_at = scope.at + timedelta(days=days)
        row, secret = access.add_token(
            session, scope, person.id, name, role, expires_at  # type: ignore[arg-type]
        )  # fmt: skip
    click.echo(f"Token {row.id}, {role}, until {row.expires_at:%Y-%m-%d}:", err=True)
    click.echo(secret.text)


@tokens.command("list")
@_ORGANISATION
def list_tokens(organisation: str) -> None:
    """List the tokens of an organisation; never the secrets, which nobody has."""
    from estimator.store.organisation_list import tokens_of

    with _store() as session:
        scope = _scope(session, organisation)
        for each in tokens_of(session, scope):
            used = f"used {each.used_at:%Y-%m-%d}" if each.used_at else "never used"
            state = "revoked" if each.revoked_at else f"until {each.expires_at:%Y-%m-%d}"
            click.echo(f"{each.id}  {each.role:<10} {state}, {used}  {each.name} ({each.email})")


@tokens.command("revoke")
@click.argument("token", type=click.UUID)
@_ORGANISATION
def revoke_token(token: UUID, organisation: str) -> None:
    """Make the TOKEN of this number useless at once."""
    from estimator.store import access

    with _store(write=True) as session:
        access.revoke_token(session, _scope(session, organisation), token)
    click.echo(f"Revoked {token}")


def _check_email(email: str) -> None:
    name, at, host = email.strip().partition("@")
    if not (name and at and host) or " " in email.strip() or len(email) > 320:
        message = "is no address such as name@example.org"
        raise SystemExit(_tell(InputRefused("person", (Fault("EMAIL", message),))))


def _password(from_stdin: bool) -> str:
    if from_stdin:
        return sys.stdin.readline().rstrip("\r\n")
    text: str = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    return text


@contextmanager
def _store(*, write: bool = False) -> Iterator["Session"]:
    from estimator.store.database import open_database
    from estimator.store.errors import StoreError

    with _refused():
        settings = Config.from_environment()
        database = open_database(settings.database_url, busy_ms=settings.database_busy_ms)
        try:
            with database.writing() if write else database.reading() as session:
                yield session
        except StoreError as error:
            click.echo(str(error), err=True)
            raise SystemExit(FAILED) from None
        finally:
            database.close()


@contextmanager
def _refused() -> Iterator[None]:
    try:
        yield
    except InputRefused as refused:
        raise SystemExit(_tell(refused)) from None


def _tell(refused: InputRefused) -> int:
    for fault in refused.faults:
        click.echo(f"{fault.where}: {fault.message}", err=True)
    return BAD_INPUT


def _person(session: "Session", email: str) -> "PersonRow":
    from estimator.store.errors import NotFound
    from estimator.store.people import person_by_email

    person = person_by_email(session, email)
    if person is None:
        raise NotFound("person", email)
    return person


def _scope(session: "Session", asked: str, *, make: bool = False) -> "Scope":
    from estimator.store.organisation_list import organisations_called
    from estimator.store.organisations import add_organisation
    from estimator.store.scope import Scope

    at = datetime.now(UTC)
    found = organisations_called(session, asked)
    if not found and make:
        found = [add_organisation(session, asked or "Our office", at)]
    if len(found) != 1:
        message = "there is no such organisation"
        if found:
            known = ", ".join(f"{each.id} ({each.name})" for each in found)
            message = f"there are several; give the number of one of them: {known}"
        raise InputRefused("organisation", (Fault("--organisation", message),))
    return Scope(found[0].id, at, None, "the command line")
