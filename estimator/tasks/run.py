"""Do one task: claim it, work, keep the outcome or what went wrong."""

import logging
import threading
import time
from datetime import UTC, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.finding import InputRefused
from estimator.quotes.states import NotAllowed
from estimator.store.database import Database
from estimator.store.errors import Conflict, DatabaseUnavailable, NotFound, StoreError
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope, flush
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import (
    DEAD_AFTER,
    claim_task,
    fail_task,
    find_task,
    ready,
    task_stopped,
)
from estimator.tasks.do import DO
from estimator.tasks.queue import hand_over
from estimator.tasks.work import Interrupted, Stopped, Superseded, Work

_OUR_SIDE = "Something went wrong on our side; it has been logged."
_MOST_FAULTS = 20
_AGAIN_S = 2.0
_log = logging.getLogger("estimator.tasks")


def run_next(database: Database, ending: threading.Event | None = None) -> bool:
    """Do the oldest task that is ready, of any organisation; whether there was one."""
    with database.reading() as session:
        if not _anything_ready(session, datetime.now(UTC)):
            return False
    return run_task(database, None, ending)


def run_task(
    database: Database, task_id: UUID | None, ending: threading.Event | None = None
) -> bool:
    """Do a task that is ready (None: the oldest one); whether there was one to do.

    Errors of the task itself are kept with it. Raises StoreError where even that is impossible;
    then the task is done again later.
    """
    with database.writing() as session:
        claimed = claim_task(session, datetime.now(UTC), task_id)
        if claimed is None:
            return False
        task = claimed.task
        work = Work(
            database, claimed.scope, task.id, task.attempts, task.asked, task.file_id,
            ending or threading.Event(),
        )  # fmt: skip
        kind = task.kind
    told = {"task": str(work.task_id), "kind": kind, "attempt": work.attempt,
            "organisation": work.scope.organisation_id}  # fmt: skip
    _log.info("task begun", extra={"told": told})
    outcome = _attempt(work, kind)
    _log.info("task %s", outcome, extra={"told": told})
    return True


def _attempt(work: Work, kind: str) -> str:
    try:
        DO[kind](work)
    except Superseded:
        return "taken over by another worker"
    except Stopped:
        with work.database.writing() as session:
            work.check(session)
            task_stopped(session, work.now(), work.task_id)
        return "cancelled"
    except Interrupted:
        _give_back(work)
        return "given back"
    except (InputRefused, NotFound, NotAllowed, Conflict) as error:
        _fail(work, _told(error), again=False)
        return "failed"
    except Exception as error:
        _log.error("task broke off", exc_info=error)
        _fail(work, str(error) if isinstance(error, StoreError) else _OUR_SIDE, again=True)
        return "failed, to be tried again while attempts are left"
    return "done"


def _fail(work: Work, fault: str, *, again: bool) -> None:
    """Keep what went wrong as soon as the database answers. Raises StoreError."""
    until = time.monotonic() + DEAD_AFTER.total_seconds()
    while True:
        try:
            _keep_fault(work, fault, again=again)
        except DatabaseUnavailable:
            # Later than this the task is taken for one whose worker died, and is done again.
            if time.monotonic() > until or work.ending.wait(_AGAIN_S):
                raise
        else:
            return


def _keep_fault(work: Work, fault: str, *, again: bool) -> None:
    try:
        with work.database.writing() as session:
            work.check(session)
            row = fail_task(session, work.now(), work.task_id, fault, again=again)
            if row.state == "waiting":
                hand_over(session, row)
    except Superseded:
        _log.info("another worker has the task")


def _give_back(work: Work) -> None:
    scope: Scope = work.now()
    with work.database.writing() as session:
        work.check(session)
        row = find_task(session, scope, work.task_id)
        # An attempt that we end ourselves does not count.
        row.state, row.attempts, row.start_after = "waiting", row.attempts - 1, scope.at
        flush(session)
        hand_over(session, row)


def _told(error: Exception) -> str:
    if not isinstance(error, InputRefused):
        return str(error)
    told = [f"{fault.where or '/'}: {fault.message}" for fault in error.faults[:_MOST_FAULTS]]
    left = len(error.faults) - _MOST_FAULTS
    return "\n".join([*told, *([f"and {left} more"] if left > 0 else [])])


def _anything_ready(session: Session, at: datetime) -> bool:
    found = select(TaskRow.id).where(ready(at)).limit(1)
    return session.execute(
        found.execution_options(**{EVERY_ORGANISATION: True})
    ).first() is not None  # fmt: skip
