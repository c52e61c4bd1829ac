"""Run migrations against the database named by ESTIMATOR_DATABASE_URL or by ``-x url=``."""

import os

from alembic import context
from sqlalchemy import create_engine, pool

from estimator.store.metadata import metadata


def database_url() -> str:
    """The database to migrate; a clear error when none is named."""
    url = context.get_x_argument(as_dictionary=True).get("url")
    url = url or os.environ.get("ESTIMATOR_DATABASE_URL")
    if not url:
        raise SystemExit(
            "Name the database: alembic -x url=sqlite:///estimator.sqlite upgrade head"
        )
    return url


def run() -> None:
    """Apply the migrations; batch mode because SQLite cannot alter a column in place."""
    engine = create_engine(database_url(), poolclass=pool.NullPool)
    with engine.connect() as connection:
        context.configure(
            connection=connection,
            target_metadata=metadata,
            render_as_batch=connection.dialect.name == "sqlite",
            compare_type=True,
        )
        with context.begin_transaction():
            context.run_migrations()
    engine.dispose()


if context.is_offline_mode():
    raise SystemExit("Only online migrations are supported.")
run()
