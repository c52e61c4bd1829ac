"""What lets somebody in, right and wrong in every way, for tests and for the timing table."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from web.api.furnished import JOB
from web.people.shared_service import Office

from estimator.store import access, invitations, links
from estimator.store.database import Database
from estimator.store.jobs import add_job
from estimator.store.scope import Scope
from estimator.stored.means import Wanted
from estimator.stored.quoting import make_quote

MALFORMED = {
    "unknown": "{prefix}" + "x" * 43,
    "empty": "",
    "short": "{prefix}x",
    "another kind": "s_" + "x" * 43,
    "long": "{prefix}" + "x" * 2_000,
    "no letters": "\u202e\u00e9" * 20,
}


@dataclass(frozen=True)
class Way:
    """A kind of secret. asked: how it is sent. wrong: by what is wrong with it. right: one."""

    kind: str
    right: str
    wrong: dict[str, str]


def ways_in(office: Office, *, malformed: tuple[str, ...] = tuple(MALFORMED)) -> list[Way]:
    """A token, a customer's link and an invitation, each right, revoked and run out."""
    database, scope = office.service.database, office.scope
    now = datetime.now(UTC)
    ends = {"right": now + timedelta(days=1), "revoked": now + timedelta(days=1), "run out": now}
    found = {
        kind: {state: make(database, scope, office, end, state == "revoked")
               for state, end in ends.items()}
        for kind, make in (("t_", _token), ("q_", _link), ("i_", _invitation))
    }  # fmt: skip
    return [
        Way(
            kind,
            made.pop("right"),
            made | {name: MALFORMED[name].format(prefix=kind) for name in malformed},
        )
        for kind, made in found.items()
    ]


def _token(database: Database, scope: Scope, office: Office, end: datetime, over: bool) -> str:
    with database.writing() as session:
        person = office.people["reader"]
        row, secret = access.add_token(session, scope, person, "test", "reader", end)
        if over:
            access.revoke_token(session, scope, row.id)
    return secret.text


def _link(database: Database, scope: Scope, _: Office, end: datetime, over: bool) -> str:
    with database.writing() as session:
        job = add_job(session, scope, "House", JOB)
        quote = make_quote(session, scope, "House", job.id, Wanted(), scope.today)
        row, secret = links.add_link(session, scope, quote.id, end)
        if over:
            links.revoke_link(session, scope, quote.id, row.id)
    return secret.text


def _invitation(database: Database, scope: Scope, _: Office, end: datetime, over: bool) -> str:
    with database.writing() as session:
        row, secret = invitations.invite(session, scope, "new@example.org", "reader", end)
        if over:
            invitations.revoke_invitation(session, scope, row.id)
    return secret.text
