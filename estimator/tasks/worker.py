"""The worker of the queue: takes numbers of tasks from it and does the tasks.

A number that is lost (the queue was not in a backup, a worker was killed) loses nothing: every
minute some worker looks for tasks that are ready and does them.
"""

import asyncio
import logging
import signal
import threading
from collections.abc import Callable
from contextlib import suppress
from uuid import UUID

import procrastinate
from procrastinate import PsycopgConnector
from psycopg_pool import PoolTimeout
from sqlalchemy import make_url

from estimator.config import Config
from estimator.store.database import Database, open_database
from estimator.store.errors import StoreError
from estimator.tasks.housekeeping import Housekeeping
from estimator.tasks.queue import QUEUE, RUN_TASK
from estimator.tasks.run import run_next, run_task

SWEEP = "estimator.sweep"
TIDY = "estimator.tidy"
_AGAIN_S = 5.0
_log = logging.getLogger("estimator.tasks")


class Worker:
    """One process that works off the queue, one task at a time, until it is asked to end."""

    def __init__(self, config: Config, database: Database | None = None) -> None:
        self._config = config
        self._database = database or open_database(
            config.database_url, busy_ms=config.database_busy_ms, pool_size=2
        )
        self._ending = threading.Event()
        self._stop: Callable[[], object] | None = None
        self._housekeeping = Housekeeping(self._database)
        url = make_url(config.database_url).set(drivername="postgresql")
        self._app = procrastinate.App(
            connector=PsycopgConnector(
                conninfo=url.render_as_string(hide_password=False), min_size=1, max_size=3
            )
        )
        self._app.task(name=RUN_TASK, queue=QUEUE)(self._run)
        sweep = self._app.task(name=SWEEP, queue=QUEUE, queueing_lock=SWEEP)(self._sweep)
        self._app.periodic(cron="* * * * *")(sweep)
        tidy = self._app.task(name=TIDY, queue=QUEUE, queueing_lock=TIDY)(self._tidy)
        self._app.periodic(cron="*/5 * * * *")(tidy)

    def run(self, *, wait: bool = True, signals: bool = True) -> None:
        """Work until asked to end; wait False: until nothing is left to do.

        A database that goes away is waited for. signals: end at SIGTERM and SIGINT.
        """
        while not self._ending.is_set():
            try:
                asyncio.run(self._work(wait, signals))
                if not wait:
                    return
                # The library ends without an error, too, when its connection breaks.
                error = "it stopped"
            except (procrastinate.exceptions.ConnectorException, PoolTimeout) as away:
                error = str(away)
            if not self._ending.is_set():
                _log.warning("the queue cannot be reached: %s", " ".join(error.split()))
                self._ending.wait(_AGAIN_S)

    def end(self) -> None:
        """Let the task of now stop at its next sign of life, and give it back."""
        self._ending.set()
        if self._stop is not None:
            self._stop()

    def close(self) -> None:
        """Give up the connections."""
        self._database.close()

    async def _work(self, wait: bool, signals: bool) -> None:
        loop = asyncio.get_running_loop()
        async with self._app.open_async():
            working = asyncio.ensure_future(
                self._app.run_worker_async(
                    queues=[QUEUE],
                    wait=wait,
                    concurrency=1,
                    install_signal_handlers=False,
                    shutdown_graceful_timeout=self._config.stop_seconds,
                    delete_jobs="always",
                )
            )
            self._stop = lambda: loop.call_soon_threadsafe(working.cancel)
            if signals:
                for each in (signal.SIGTERM, signal.SIGINT):
                    loop.add_signal_handler(each, self.end)
            with suppress(asyncio.CancelledError):
                await working
            self._stop = None

    def _run(self, organisation_id: int, task_id: str) -> None:
        try:
            run_task(self._database, UUID(task_id), self._ending)
        except StoreError as error:
            # Kept nowhere else; the sweep does the task when the database is back.
            _log.warning("task %s waits: %s", task_id, error)

    def _sweep(self, timestamp: int) -> None:
        try:
            self._housekeeping.do_if_due()
            while not self._ending.is_set() and run_next(self._database, self._ending):
                pass
        except StoreError as error:
            _log.warning("tasks wait: %s", error)

    async def _tidy(self, timestamp: int) -> None:
        """Remove the numbers that killed workers had taken; the sweep does their tasks."""
        for job in await self._app.job_manager.get_stalled_jobs(queue=QUEUE):
            await self._app.job_manager.finish_job(
                job, status=procrastinate.jobs.Status.FAILED, delete_job=True
            )
