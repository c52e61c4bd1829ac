"""Who is calling: for which organisation, as whom, with which role.

In local mode the one person of the machine, who owns everything; in shared mode whoever the
session cookie or the bearer token says. The caller is found once a request, when somebody
first asks, so that what stores nothing needs no database in local mode.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal
from uuid import UUID

from flask import current_app, g
from sqlalchemy import select

from estimator.config import Config
from estimator.store.database import Database
from estimator.store.organisations import local_organisation
from estimator.store.scope import Scope
from estimator.store.tables.organisations import OrganisationRow, Role
from estimator.web.app_database import database

Way = Literal["local", "session", "token"]
# From little to much.
_RANK: tuple[Role, ...] = ("reader", "estimator", "owner")
LOCAL_NAME = "this machine"


@dataclass(frozen=True, slots=True)
class Caller:
    """Who is calling. by: how we know. way: of the session or token; None in local mode.

    csrf_hash: of the secret that a page of this session sends along; None without a session.
    """

    scope: Scope
    role: Role
    by: Way
    way: UUID | None = None
    csrf_hash: bytes | None = None

    def may(self, role: Role) -> bool:
        """Whether the caller has this role or a higher one."""
        return _RANK.index(self.role) >= _RANK.index(role)


class NotSignedIn(Exception):
    """Nobody is signed in, and what is asked for needs it. The message may be shown."""


def caller() -> Caller:
    """Whoever sent the current request.

    Raises NotSignedIn in shared mode on a route that anyone may call, StoreError.
    """
    known: Caller | None = g.get("caller")
    if known is not None:
        return known
    settings: Config = current_app.config["ESTIMATOR"]
    if settings.mode != "local":
        raise NotSignedIn("Sign in, or send a token that is still valid.")
    local = local_caller(database(), datetime.now(UTC))
    set_caller(local)
    return local


def set_caller(who: Caller) -> None:
    """Keep who sent the current request."""
    g.caller = who


def local_caller(opened: Database, at: datetime) -> Caller:
    """The owner of the one organisation of a database that one person uses. Raises StoreError."""
    first = select(OrganisationRow.id).order_by(OrganisationRow.id).limit(1)
    with opened.reading() as session:
        organisation_id = session.scalar(first)
    if organisation_id is None:
        with opened.writing() as session:
            organisation_id = local_organisation(session, at).id
    return Caller(Scope(organisation_id, at, None, LOCAL_NAME), "owner", "local")
