"""Remove once an hour what nobody needs any more: answers kept for repeats, old counters,
finished tasks with their files, sign-ins and invitations long past.
"""

import time
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from estimator.store.database import Database
from estimator.store.idempotency import forget_expired
from estimator.store.past import forget_old_tasks, forget_old_ways_in
from estimator.store.rate_counters import forget_old_counters

_EVERY_S = 3600.0
TASKS_KEPT = timedelta(days=30)
WAYS_IN_KEPT = timedelta(days=90)


@dataclass(slots=True)
class Housekeeping:
    """Of one process; any number of processes may do it."""

    database: Database
    _next: float = field(default_factory=time.monotonic)

    def do_if_due(self) -> None:
        """Do it if an hour has gone by since it was done. Raises StoreError."""
        if time.monotonic() >= self._next:
            self._next = time.monotonic() + _EVERY_S
            keep_house(self.database, datetime.now(UTC))


def keep_house(database: Database, at: datetime) -> None:
    """Remove what nobody needs any more, in small transactions. Raises StoreError."""
    with database.writing() as session:
        forget_expired(session, at)
        forget_old_counters(session, at)
    with database.writing() as session:
        forget_old_tasks(session, at - TASKS_KEPT)
    with database.writing() as session:
        forget_old_ways_in(session, at - WAYS_IN_KEPT)
