"""rate counters: failed sign-ins are counted across processes and hosts

Revision: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "rate_counters",
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("hits", sa.Integer(), nullable=False),
        sa.Column("ends_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_rate_counters")),
    )
    with op.batch_alter_table("rate_counters") as table:
        table.create_index(table.f("ix_rate_counters_ends_at"), ["ends_at"], unique=False)
