"""words of items: lists are searched by the words that are kept of them

Fills them in for the lists in force; older ones are searched as text, as before.

Revision: 0004
Revises: 0003
"""

import sqlalchemy as sa
from alembic import op

# No model of a table: how an item is told apart into words is one with how it is searched, and
# a later program that does it otherwise has to fill the table anew.
from estimator.store.item_words import WordKeeper

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_AT_ONCE = 1_000
_IN_FORCE = """SELECT organisation_id, item_set FROM catalogue_versions
    WHERE superseded_at IS NULL ORDER BY organisation_id, item_set"""
_ITEMS = """SELECT number, description, kind FROM catalogue_items
    WHERE organisation_id = :organisation_id AND item_set = :item_set ORDER BY place"""
_KEEP = """INSERT INTO catalogue_words (organisation_id, item_set, word, first_place, places)
    VALUES (:organisation_id, :item_set, :word, :first_place, :places)"""
_KEPT = """UPDATE catalogue_versions SET words_kept = :kept
    WHERE organisation_id = :organisation_id AND item_set = :item_set"""


def upgrade() -> None:
    word = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
    op.create_table(
        "catalogue_words",
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("item_set", sa.Integer(), nullable=False),
        sa.Column("word", word, nullable=False),
        sa.Column("first_place", sa.Integer(), nullable=False),
        sa.Column("places", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id", "item_set"],
            ["catalogue_versions.organisation_id", "catalogue_versions.item_set"],
            name=op.f("fk_catalogue_words_organisation_id_item_set_catalogue_versions"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["organisation_id"],
            ["organisations.id"],
            name=op.f("fk_catalogue_words_organisation_id_organisations"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint(
            "organisation_id", "item_set", "word", "first_place", name=op.f("pk_catalogue_words")
        ),
    )
    # Neither database has to make the table anew for a column with a constant default.
    op.add_column(
        "catalogue_versions",
        sa.Column("words_kept", sa.Boolean(), server_default=sa.false(), nullable=False),
    )
    connection = op.get_bind()
    for version in connection.execute(sa.text(_IN_FORCE)).mappings().all():
        _fill(connection, dict(version))


def _fill(connection: sa.Connection, version: dict[str, int]) -> None:
    keeper = WordKeeper()
    few_at_once = {"yield_per": _AT_ONCE}
    for item in connection.execute(sa.text(_ITEMS), version, execution_options=few_at_once):
        if keeper.full:
            _keep(connection, version, keeper)
        keeper.add(*item)
    _keep(connection, version, keeper)
    connection.execute(sa.text(_KEPT), {**version, "kept": True})


def _keep(connection: sa.Connection, version: dict[str, int], keeper: WordKeeper) -> None:
    rows = [
        {**version, "word": word, "first_place": first, "places": places}
        for word, first, places in keeper.take()
    ]
    for start in range(0, len(rows), _AT_ONCE):
        connection.execute(sa.text(_KEEP), rows[start : start + _AT_ONCE])
