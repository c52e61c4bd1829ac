"""Background tasks as rows: asked for in the transaction of their cause, safe to run twice."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from sqlalchemy import ColumnElement, and_, or_, select
from sqlalchemy.orm import Session

from estimator.quotes.states import NotAllowed
from estimator.store.errors import NotFound
from estimator.store.guard import EVERY_ORGANISATION
from estimator.store.scope import Scope, add, find, flush
from estimator.store.tables.base import Json
from estimator.store.tables.work import TaskRow, TaskState

# A worker that gives no sign of life for so long is taken for dead; its task is done again.
DEAD_AFTER = timedelta(minutes=2)
_WAIT = timedelta(seconds=30)
_LONGEST_WAIT = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Claimed:
    """A task that a worker has taken on."""

    scope: Scope
    task: TaskRow


def add_task(
    session: Session,
    scope: Scope,
    kind: str,
    asked: Json,
    *,
    once: str | None = None,
    file_id: UUID | None = None,
    most_attempts: int = 3,
) -> TaskRow:
    """Ask for a task. once: where a task with the same text is there already, that one is given."""
    if once is not None:
        there = session.scalars(scope.rows(TaskRow).where(TaskRow.once == once)).one_or_none()
        if there is not None:
            return there
    row = TaskRow(
        kind=kind,
        state="waiting",
        once=once,
        asked=asked,
        file_id=file_id,
        done=0,
        attempts=0,
        most_attempts=most_attempts,
        created_at=scope.at,
        by_person=scope.person_id,
        start_after=scope.at,
    )
    return add(session, scope, row, taken="This task was asked for just now.")


def find_task(session: Session, scope: Scope, task_id: UUID) -> TaskRow:
    """Raises NotFound."""
    return find(session, scope, TaskRow, task_id, what="task")


def ready(at: datetime) -> ColumnElement[bool]:
    """Which tasks may be taken on: those that wait, and those whose worker died.

    A time further ahead than we ever set one is of a clock that was put back since.
    """
    waiting = or_(
        TaskRow.attempts == 0,
        TaskRow.start_after <= at,
        TaskRow.start_after > at + _LONGEST_WAIT,
    )
    dead = or_(TaskRow.beat_at < at - DEAD_AFTER, TaskRow.beat_at > at + DEAD_AFTER)
    return or_(
        and_(TaskRow.state == "waiting", waiting),
        and_(TaskRow.state == "running", dead),
    )


def claim_task(session: Session, at: datetime, task_id: UUID | None = None) -> Claimed | None:
    """Take on the oldest task that waits or whose worker died, of any organisation, or one task.

    None where there is nothing to do. Two workers never get the same one.
    """
    statement = select(TaskRow).where(ready(at))
    if task_id is not None:
        statement = statement.where(TaskRow.id == task_id)
    row = session.scalars(
        statement.order_by(TaskRow.start_after, TaskRow.id)
        .limit(1)
        .with_for_update(skip_locked=True)
        .execution_options(**{EVERY_ORGANISATION: True})
    ).first()
    if row is None:
        return None
    scope = Scope(row.organisation_id, at, row.by_person, f"task {row.kind}")
    if row.attempts >= row.most_attempts:
        _end(row, at, "failed", "The program stopped while it ran, too often.")
    elif row.stop_asked_at is not None:
        _end(row, at, "cancelled", None)
    else:
        row.state, row.attempts, row.done = "running", row.attempts + 1, 0
        row.started_at = row.beat_at = at
        flush(session)
        return Claimed(scope, row)
    flush(session)
    return claim_task(session, at) if task_id is None else None


def beat(
    session: Session,
    scope: Scope,
    task_id: UUID,
    done: int,
    total: int | None,
    *,
    attempt: int | None = None,
) -> bool:
    """Keep progress and give a sign of life; whether the task should go on.

    attempt: number of the attempt that speaks (``TaskRow.attempts`` when it was claimed); one
    that was taken for dead, so that another has begun, is told to stop.
    """
    row = find_task(session, scope, task_id)
    if row.state != "running" or attempt not in (None, row.attempts):
        return False
    row.done, row.total, row.beat_at = done, total, scope.at
    flush(session)
    return row.stop_asked_at is None


def finish_task(session: Session, scope: Scope, task_id: UUID, result: Json) -> TaskRow:
    """Keep the result; in the transaction of the work itself, both are kept or neither.

    Raises NotAllowed for a task that does not run any more, so that of two workers that do the
    same work only one keeps it.
    """
    row = _running(session, scope, task_id, None)
    _end(row, scope.at, "done", None)
    row.result = result
    row.done = row.total or row.done
    flush(session)
    return row


def fail_task(
    session: Session,
    scope: Scope,
    task_id: UUID,
    fault: str,
    *,
    again: bool,
    attempt: int | None = None,
) -> TaskRow:
    """Keep what went wrong. again: worth another attempt, if there is one left.

    attempt: as in ``beat``. Raises NotAllowed for an attempt that is over.
    """
    row = _running(session, scope, task_id, attempt)
    if again and row.attempts < row.most_attempts:
        row.state, row.fault = "waiting", fault
        # Longer after each attempt: whatever is wrong may need time.
        row.start_after = scope.at + min(_WAIT * 2 ** (row.attempts - 1), _LONGEST_WAIT)
    else:
        _end(row, scope.at, "failed", fault)
    flush(session)
    return row


def cancel_task(session: Session, scope: Scope, task_id: UUID) -> TaskRow:
    """Cancel a task that waits; ask one that runs to stop. Raises NotFound, NotAllowed."""
    row = _locked(session, scope, task_id)
    if row.state not in ("waiting", "running"):
        raise NotAllowed(f"The task is {row.state} already.")
    row.stop_asked_at = row.stop_asked_at or scope.at
    if row.state == "waiting":
        _end(row, scope.at, "cancelled", None)
    flush(session)
    return row


def task_stopped(session: Session, scope: Scope, task_id: UUID) -> TaskRow:
    """Keep that a running task stopped because it was asked to. Raises NotAllowed."""
    row = _running(session, scope, task_id, None)
    _end(row, scope.at, "cancelled", None)
    flush(session)
    return row


def _running(session: Session, scope: Scope, task_id: UUID, attempt: int | None) -> TaskRow:
    row = _locked(session, scope, task_id)
    if row.state != "running" or attempt not in (None, row.attempts):
        raise NotAllowed(f"The task is {row.state}, in attempt {row.attempts}; this one is over.")
    return row


def _locked(session: Session, scope: Scope, task_id: UUID) -> TaskRow:
    """The task as it is now; nobody else changes it before this transaction ends."""
    statement = scope.rows(TaskRow).where(TaskRow.id == task_id).with_for_update()
    found = session.scalars(statement.execution_options(populate_existing=True)).one_or_none()
    if found is None:
        raise NotFound("task", task_id)
    return found


def _end(row: TaskRow, at: datetime, state: TaskState, fault: str | None) -> None:
    row.state, row.fault = state, fault
    # Not before it began, though the clock was put back meanwhile.
    row.finished_at = max(at, row.started_at or at)
