"""Serve until stopped: in local mode on loopback only, in shared mode where the settings say."""

import logging
import os
import shutil
import tempfile
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gunicorn.app.base import BaseApplication

from estimator.config import Config
from estimator.finding import Fault, InputRefused
from estimator.store import care
from estimator.store.database import open_database
from estimator.store.organisations import local_organisation

if TYPE_CHECKING:
    from flask import Flask

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})
_METRICS = "PROMETHEUS_MULTIPROC_DIR"
_MEMORY = Path("/dev/shm")


class Server(BaseApplication):  # type: ignore[misc]  # gunicorn has no type hints
    """gunicorn with our settings. Each worker makes its own application, after the fork."""

    def __init__(self, config: Config) -> None:
        self._config = config
        self._app: Flask | None = None
        super().__init__()

    def load_config(self) -> None:
        """Give gunicorn our settings."""
        for name, value in server_settings(self._config).items():
            self.cfg.set(name, value)
        self.cfg.set("post_worker_init", lambda _worker: self._begin_tasks())
        self.cfg.set("worker_exit", lambda _server, _worker: self._end())
        self.cfg.set("child_exit", lambda _server, worker: _forget_process(worker.pid))

    def load(self) -> object:
        """The application of a worker."""
        # Here, since what counts requests looks for its folder when it is imported.
        from estimator.web.app import create_app
        from estimator.web.request_log import log_as_json

        if self._config.mode == "shared":
            log_as_json()
        self._app = create_app(self._config)
        return self._app

    def _begin_tasks(self) -> None:
        from estimator.web.app_tasks import begin_tasks

        if self._app is not None:
            begin_tasks(self._app)

    def _end(self) -> None:
        from estimator.web.app_database import close_database
        from estimator.web.app_tasks import end_tasks

        if self._app is not None:
            end_tasks(self._app)
            close_database(self._app)


def server_settings(config: Config) -> dict[str, Any]:
    """What gunicorn is told. Raises InputRefused for an address that needs a login."""
    check_address(config)
    host = f"[{config.host}]" if ":" in config.host else config.host
    return {
        "bind": f"{host}:{config.port}",
        "workers": config.workers,
        "threads": config.threads,
        "worker_class": "gthread",
        "reuse_port": True,
        # A worker that gives no sign of life; a long request is none of that with threads.
        "timeout": 60,
        "graceful_timeout": config.stop_seconds,
        # Longer than balancers keep a connection, so that they end it and not we.
        "keepalive": 75 if config.mode == "shared" else 2,
        # Addresses are told by our own settings (proxies), not by whoever is nearest.
        "forwarded_allow_ips": "",
        "proc_name": "estimator",
        "accesslog": None,
        "errorlog": "-",
        "loglevel": "warning",
    }


def check_address(config: Config) -> None:
    """Raises InputRefused for anything but loopback in local mode."""
    if config.mode == "local" and config.host not in LOOPBACK:
        message = (
            f"{config.host} can be reached from elsewhere and local mode has no login; "
            "use 127.0.0.1, or ESTIMATOR_MODE=shared"
        )
        raise InputRefused("settings", (Fault("ESTIMATOR_HOST", message),))


def serve(config: Config) -> None:
    """Serve until stopped. Raises InputRefused, StoreError before anything listens."""
    check_address(config)
    prepare_database(config)
    folder, own_pid = _metrics_folder(config), os.getpid()
    try:
        Server(config).run()
    finally:
        # The workers are forked in there and come out here too, each when it ends.
        if not config.metrics_folder and os.getpid() == own_pid:
            shutil.rmtree(folder, ignore_errors=True)


def prepare_database(config: Config) -> None:
    """In local mode: make the tables or bring them to this version, and the organisation."""
    if config.mode != "local":
        return  # several hosts may run; who looks after them upgrades (estimator db upgrade)
    opened = open_database(config.database_url, busy_ms=config.database_busy_ms)
    try:
        care.upgrade(opened)
        with opened.writing() as session:
            local_organisation(session, datetime.now(UTC))
    finally:
        opened.close()


def _metrics_folder(config: Config) -> Path:
    folder = Path(config.metrics_folder or tempfile.mkdtemp("", "estimator_metrics_", _in_memory()))
    folder.mkdir(parents=True, exist_ok=True)
    for left_over in folder.glob("*.db"):
        with suppress(OSError):
            left_over.unlink()
    os.environ[_METRICS] = str(folder)
    return folder


def _in_memory() -> Path | None:
    """Where files are no files of a disk; None where the system has no such place.

    Counts are written through mapped memory: on a full disk that would kill the process.
    """
    usable = _MEMORY.is_dir() and os.access(_MEMORY, os.W_OK | os.X_OK)
    return _MEMORY if usable else None


def _forget_process(pid: int) -> None:
    from prometheus_client.multiprocess import mark_process_dead

    try:
        mark_process_dead(pid)  # type: ignore[no-untyped-call]
    except OSError as error:
        logging.getLogger("estimator").warning("metrics of a process stay: %s", error)
