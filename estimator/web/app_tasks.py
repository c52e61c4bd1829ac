"""Work off tasks within a process of the service: in local mode, and wherever SQLite is used."""

import threading

from flask import Flask

from estimator.config import Config
from estimator.tasks.runner import Runner
from estimator.web.app_database import database_of

_KEY = "estimator_tasks"


class QueueThread:
    """A worker of the queue in a thread: local mode with PostgreSQL."""

    def __init__(self, config: Config) -> None:
        from estimator.tasks.worker import Worker  # its libraries are for PostgreSQL only

        self._worker = Worker(config)
        self._thread = threading.Thread(
            target=self._worker.run, kwargs={"signals": False}, name="tasks", daemon=True
        )

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def end(self, within_s: float) -> None:
        """Let the task of now stop at its next sign of life, and give it back."""
        self._worker.end()
        self._thread.join(within_s)
        self._worker.close()


def begin_tasks(app: Flask) -> None:
    """Begin, unless workers of their own do it (``estimator work``)."""
    settings: Config = app.config["ESTIMATOR"]
    opened = database_of(app)
    runner: Runner | QueueThread
    if opened.sqlite:
        runner = Runner(opened)
    elif settings.mode == "local":
        runner = QueueThread(settings)
    else:
        return
    app.extensions[_KEY] = runner
    runner.start()


def end_tasks(app: Flask) -> None:
    """Stop; a task that is not finished goes on with the next start."""
    settings: Config = app.config["ESTIMATOR"]
    runner: Runner | QueueThread | None = app.extensions.pop(_KEY, None)
    if runner is not None:
        runner.end(settings.stop_seconds)
