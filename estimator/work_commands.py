"""The command ``estimator work``: a worker of the queue, for PostgreSQL in shared mode."""

import click

from estimator.config import Config
from estimator.finding import Fault, InputRefused

BAD_INPUT = 2


@click.command()
@click.option("--once", is_flag=True, help="End when nothing is left to do.")
def work(once: bool) -> None:
    """Work off background tasks until stopped; run as many of these as there are to be at once."""
    from estimator.tasks.worker import Worker
    from estimator.web.request_log import log_as_json

    try:
        settings = Config.from_environment()
        if not settings.database_url.startswith("postgresql"):
            message = "is not PostgreSQL; with SQLite the service itself works off tasks"
            raise InputRefused("settings", (Fault("ESTIMATOR_DATABASE_URL", message),))
        log_as_json()
        worker = Worker(settings)
    except InputRefused as refused:
        for fault in refused.faults:
            click.echo(f"{fault.where}: {fault.message}", err=True)
        raise SystemExit(BAD_INPUT) from None
    try:
        worker.run(wait=not once)
    finally:
        worker.close()
