"""What a task works with: its database, for whom, what was asked, and how it tells of itself."""

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.database import Database
from estimator.store.scope import Scope
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import beat, finish_task

# A sign of life is a transaction of its own, so not too often.
_BEAT_SECONDS = 1.0


class Stopped(Exception):
    """Somebody asked for the task to be cancelled."""


class Interrupted(Exception):
    """The program is asked to end; the task goes on with the next start."""


class Superseded(Exception):
    """Another worker has taken this one for dead, and the task over."""


@dataclass(slots=True)
class Work:
    """One attempt at a task. ending: set when the program is asked to end."""

    database: Database
    scope: Scope
    task_id: UUID
    attempt: int
    asked: Mapping[str, Any]
    file_id: UUID | None
    ending: threading.Event = field(default_factory=threading.Event)
    _told_at: float = 0.0

    def now(self) -> Scope:
        """For whom and by whom, as of now."""
        return replace(self.scope, at=datetime.now(UTC))

    def progress(self, done: int, total: int | None = None) -> None:
        """Tell how far the task is. Raises Stopped, Interrupted, Superseded.

        Call it outside of a transaction of one's own, or use ``progress_within``.
        """
        if self.ending.is_set():
            raise Interrupted
        if time.monotonic() - self._told_at < _BEAT_SECONDS:
            return
        self._told_at = time.monotonic()
        scope = self.now()
        with self.database.writing() as session:
            row = _locked(session, self)
            stopped = not beat(session, scope, row.id, done, total)
        if stopped:
            raise Stopped

    def progress_within(self, done: int, total: int | None = None) -> None:
        """The same inside of a long transaction, which with SQLite shuts out every other one."""
        if self.ending.is_set():
            raise Interrupted
        if not self.database.sqlite:
            self.progress(done, total)

    def check(self, session: Session) -> None:
        """Make sure, in a transaction that is to be kept, that nobody else has taken over."""
        _locked(session, self)

    def finish(self, session: Session, result: Mapping[str, Any]) -> None:
        """Keep the result, in the transaction of the last piece of work. Raises Superseded."""
        _locked(session, self)
        finish_task(session, self.now(), self.task_id, dict(result))


Do = Callable[[Work], None]


def _locked(session: Session, work: Work) -> TaskRow:
    row = session.scalars(
        work.scope.rows(TaskRow)
        .where(TaskRow.id == work.task_id)
        .with_for_update()
        .execution_options(populate_existing=True)
    ).one_or_none()
    if row is None or row.state != "running" or row.attempts != work.attempt:
        raise Superseded
    return row
