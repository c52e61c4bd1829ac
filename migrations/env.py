"""Run migrations in the connection that the program gives, or in the database of the settings.

On the command line: ``alembic -x url=sqlite:///estimator.sqlite upgrade head``, or the URL in
ESTIMATOR_DATABASE_URL.
"""

import os

from alembic import context
from sqlalchemy import Connection

from estimator.store.column_types import Moment, Money, PackedText
from estimator.store.database import open_database
from estimator.store.migrate import migrating, ours
from estimator.store.tables import metadata


def database_url() -> str:
    """The database to migrate; a clear error when none is named."""
    url = context.get_x_argument(as_dictionary=True).get("url")
    url = url or os.environ.get("ESTIMATOR_DATABASE_URL")
    if not url:
        raise SystemExit(
            "Name the database: alembic -x url=sqlite:///estimator.sqlite upgrade head"
        )
    return url


def plain_type(kind: str, item: object, autogen_context: object) -> str | bool:
    """How a type of ours is written in a migration: plainly, for types of ours may change."""
    if kind != "type":
        return False
    if isinstance(item, Money):
        return f'sa.Numeric(18, {item.places}).with_variant(sa.BigInteger(), "sqlite")'
    if isinstance(item, Moment):
        return "sa.DateTime(timezone=True)"
    if isinstance(item, PackedText):
        return "sa.LargeBinary()"
    return False


def run(connection: Connection) -> None:
    """Apply the migrations; batch mode because SQLite cannot alter a column in place."""
    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=True,
        render_item=plain_type,
        compare_type=True,
        include_name=ours,
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()


if context.is_offline_mode():
    raise SystemExit("Only online migrations are supported.")
given = context.config.attributes.get("connection")
if given is not None:
    run(given)
else:
    database = open_database(database_url())
    with migrating(database) as opened:
        run(opened)
    database.close()
