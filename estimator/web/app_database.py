"""The database of an application: opened when it is first used, once a process."""

import threading
from pathlib import Path

from flask import Flask, current_app

from estimator.config import Config
from estimator.store.database import Database, open_database, read_url
from estimator.store.migrate import upgrade

_KEY = "estimator_database"
_opening = threading.Lock()


def database() -> Database:
    """The database of the current application. Raises InputRefused for a URL of no use."""
    return database_of(current_app)


def database_of(app: Flask) -> Database:
    """The database of an application; never opened before a server has forked."""
    opened: Database | None = app.extensions.get(_KEY)
    if opened is None:
        with _opening:
            opened = app.extensions.get(_KEY)
            if opened is None:
                opened = app.extensions[_KEY] = _open(app.config["ESTIMATOR"])
    return opened


def database_made() -> bool:
    """Whether the database of the current application is there; looking does not make it.

    Raises InputRefused for a URL of no use.
    """
    if _KEY in current_app.extensions:
        return True
    config: Config = current_app.config["ESTIMATOR"]
    url = read_url(config.database_url)
    return url.get_backend_name() != "sqlite" or Path(url.database or "").exists()


def use_database(app: Flask, opened: Database) -> None:
    """Let an application use a database that is open already."""
    app.extensions[_KEY] = opened


def close_database(app: Flask) -> None:
    """Give up the connections of an application, if it has any."""
    opened: Database | None = app.extensions.pop(_KEY, None)
    if opened is not None:
        opened.close()


def _open(config: Config) -> Database:
    opened = open_database(
        config.database_url, busy_ms=config.database_busy_ms, pool_size=config.database_pool
    )
    # One's own file follows the program; on a server other hosts may run the former version.
    if opened.sqlite:
        upgrade(opened)
    return opened
