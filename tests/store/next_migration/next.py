"""A migration of the tests' own after the newest one: changes tables with rows, and back.

Revision: next
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "next"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Two columns, one of them filled from what is there."""
    with op.batch_alter_table("quote_revisions") as batch:
        batch.add_column(sa.Column("remark", sa.Text(), nullable=True))
    with op.batch_alter_table("quotes") as batch:
        batch.add_column(sa.Column("shown_as", sa.Text(), nullable=False, server_default=""))
        batch.alter_column("title", nullable=True)
    op.execute("UPDATE quotes SET shown_as = number || ' ' || title")
    op.execute("UPDATE quote_revisions SET remark = reason")


def downgrade() -> None:
    """Without them again."""
    with op.batch_alter_table("quotes") as batch:
        batch.alter_column("title", nullable=False)
        batch.drop_column("shown_as")
    with op.batch_alter_table("quote_revisions") as batch:
        batch.drop_column("remark")
