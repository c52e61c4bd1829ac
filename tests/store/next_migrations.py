"""Migrations as they will be when there is one more, to see what the next one does to rows."""

import re
import shutil
from pathlib import Path

from alembic import command

from estimator.store import migrate
from estimator.store.database import Database

_OWN = Path(__file__).parent / "next_migration" / "next.py"


def with_next_migration(folder: Path) -> Path:
    """A copy of the migrations in the folder, with one more after the newest."""
    newest = migrate.state_of(None).newest
    target = folder / "migrations"
    shutil.copytree(migrate.MIGRATIONS, target, ignore=shutil.ignore_patterns("__pycache__"))
    text, found = re.subn(
        r"^down_revision = .*$", f'down_revision = "{newest}"', _OWN.read_text(), flags=re.MULTILINE
    )
    assert found == 1
    (target / "versions" / "next.py").write_text(text)
    return target


def downgrade(database: Database, revision: str) -> None:
    """Bring a database back to an earlier revision."""
    with migrate.migrating(database) as connection:
        config = migrate.alembic_config()
        config.attributes["connection"] = connection
        command.downgrade(config, revision)
