"""Price open quotes anew when a newer list is in force: found in one task, done in pieces.

Each quote is a transaction of its own and is looked at again before it is touched: one that has
the new prices already, is no longer open or was changed meanwhile is passed over. So pieces may
be done twice, by two workers at once, and in any order.
"""

from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.finding import InputRefused
from estimator.quotes.states import NotAllowed
from estimator.store.catalogues import find_catalogue, find_catalogue_version
from estimator.store.errors import Conflict, NotFound, StaleVersion
from estimator.store.quote_revisions import find_revision
from estimator.store.quotes import find_quote
from estimator.store.repricing import is_outdated, outdated_quotes
from estimator.store.scope import Scope
from estimator.store.tables.catalogues import CatalogueVersionRow
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import add_task
from estimator.stored.quoting import revise_quote
from estimator.tasks.kinds import QUOTES_AT_ONCE, REPRICE, REPRICE_SOME
from estimator.tasks.queue import hand_over
from estimator.tasks.work import Work

_REFUSED = (InputRefused, NotAllowed, Conflict)


def ask_reprice(session: Session, scope: Scope, version: CatalogueVersionRow) -> TaskRow:
    """Ask for new prices of the open quotes that have old ones of the version's catalogue.

    Asked for once a version: the task that is there already is given.
    """
    asked = {"catalogue_version_id": str(version.id)}
    task = add_task(session, scope, REPRICE, asked, once=f"{REPRICE} {version.id}")
    if task.state == "waiting" and task.attempts == 0:
        hand_over(session, task)
    return task


def reprice(work: Work) -> None:
    """Find the quotes and ask for each piece, in one transaction."""
    with work.database.writing() as session:
        scope = work.now()
        version = find_catalogue_version(session, scope, UUID(work.asked["catalogue_version_id"]))
        name = find_catalogue(session, scope, version.catalogue_id).name
        quotes = outdated_quotes(session, scope, version.catalogue_id)
        reason = f"prices of {name}, version {version.number}"
        pieces = [
            quotes[start : start + QUOTES_AT_ONCE]
            for start in range(0, len(quotes), QUOTES_AT_ONCE)
        ]
        for number, piece in enumerate(pieces, 1):
            asked = {"quote_ids": [str(each) for each in piece], "reason": reason}
            task = add_task(
                session, scope, REPRICE_SOME, asked, once=piece_name(work.task_id, number)
            )
            hand_over(session, task)
        work.finish(session, {"quotes": len(quotes), "pieces": len(pieces)})


def piece_name(task_id: UUID, number: int | None = None) -> str:
    """How a piece of a task is named; None: how the names of all of them begin."""
    return f"{task_id} piece {'' if number is None else number}"


def reprice_some(work: Work) -> None:
    """Price some quotes anew."""
    quote_ids = [UUID(each) for each in work.asked["quote_ids"]]
    told: dict[str, Any] = {"repriced": 0, "passed_over": 0, "refused": []}
    for done, quote_id in enumerate(quote_ids):
        work.progress(done, len(quote_ids))
        try:
            told["repriced" if _reprice(work, quote_id) else "passed_over"] += 1
        except _REFUSED as error:
            told["refused"].append({"quote_id": str(quote_id), "fault": _fault(error)})
        except (NotFound, StaleVersion):  # somebody is at it; theirs has the new prices
            told["passed_over"] += 1
    with work.database.writing() as session:
        work.finish(session, told)


def _reprice(work: Work, quote_id: UUID) -> bool:
    scope = work.now()
    with work.database.writing() as session:
        if not is_outdated(session, scope, quote_id):
            return False
        quote = find_quote(session, scope, quote_id)
        before = find_revision(session, scope, quote_id, quote.newest)
        revise_quote(
            session,
            scope,
            quote_id,
            quote.version,
            scope.today,
            work.asked["reason"],
            job_version=before.job_version,
        )
    return True


def _fault(error: Exception) -> str:
    if isinstance(error, InputRefused):
        return "; ".join(f"{each.where}: {each.message}" for each in error.faults)
    return str(error)
