"""Hand a task over to the queue, in the transaction that asks for it.

With PostgreSQL the queue is that of procrastinate, in the same database: it holds nothing but
the numbers of tasks, so a task is handed over if and only if it is asked for. With SQLite there
is no queue; the service's own thread looks for tasks, and is woken.
"""

import threading
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import event
from sqlalchemy.orm import Session

from estimator.store.tables.work import TaskRow

if TYPE_CHECKING:
    from procrastinate import App

RUN_TASK = "estimator.run_task"
QUEUE = "estimator"
# Set when there may be something to do for a thread of this process.
woken = threading.Event()


def hand_over(session: Session, task: TaskRow) -> None:
    """See to it that a task is begun when the transaction is kept, and not before."""
    bind = session.get_bind()
    if bind.dialect.name == "sqlite":
        event.listen(session, "after_commit", lambda _session: woken.set(), once=True)
        return
    session.flush()
    connection: Any = session.connection().connection.driver_connection
    _sender().configure_task(
        RUN_TASK, queue=QUEUE, schedule_at=task.start_after, connection=connection
    ).defer(organisation_id=task.organisation_id, task_id=str(task.id))


@cache
def _sender() -> "App":
    from procrastinate import App, SyncPsycopgConnector  # not for whoever has SQLite

    # Never opened: every number goes by the connection of the transaction.
    return App(connector=SyncPsycopgConnector())
