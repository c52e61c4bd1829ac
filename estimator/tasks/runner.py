"""Work off tasks in a thread of this process: what SQLite has in the place of a queue."""

import logging
import threading

from estimator.store.database import Database
from estimator.store.errors import StoreError
from estimator.tasks.housekeeping import Housekeeping
from estimator.tasks.queue import woken
from estimator.tasks.run import run_next

# Tasks that another process of the service asked for are seen after so long.
_LOOK_EVERY_S = 2.0
_log = logging.getLogger("estimator.tasks")


class Runner:
    """A thread that does one task after the other until it is asked to end."""

    def __init__(self, database: Database, look_every_s: float = _LOOK_EVERY_S) -> None:
        self._database, self._look_every_s = database, look_every_s
        self._ending = threading.Event()
        self._housekeeping = Housekeeping(database)
        self._thread = threading.Thread(target=self._run, name="tasks", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def end(self, within_s: float) -> None:
        """Let the task of now stop at its next sign of life, and give it back."""
        self._ending.set()
        woken.set()
        self._thread.join(within_s)

    def _run(self) -> None:
        while not self._ending.is_set():
            woken.clear()
            try:
                self._housekeeping.do_if_due()
                if run_next(self._database, self._ending):
                    continue
            except StoreError as error:  # the database is away or not made yet: look again
                _log.warning("tasks wait: %s", error)
            except Exception as error:
                _log.error("tasks wait", exc_info=error)
            woken.wait(self._look_every_s)
