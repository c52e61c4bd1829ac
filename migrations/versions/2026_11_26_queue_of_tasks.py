"""queue of tasks: the tables of procrastinate, on PostgreSQL only

They are that library's own, as its version 3.10 has them. A later version of it comes with files
of its own changes, to be run by a migration that looks first whether they are there already.

Revision: 0003
Revises: 0002
"""

from alembic import op
from procrastinate.schema import SchemaManager

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    connection = op.get_bind()
    if connection.dialect.name != "postgresql":
        return
    # By the driver itself, which takes many statements at once when there are no parameters.
    connection.connection.driver_connection.execute(SchemaManager.get_schema())
