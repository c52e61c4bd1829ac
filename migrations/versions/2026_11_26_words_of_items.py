"""words of items: lists are searched by the text index of the database

Fills it for the lists in force; older ones are searched as text, as before.

Revision: 0004
Revises: 0003
"""

from itertools import islice
from typing import Any

import sqlalchemy as sa
from alembic import op

# No model of a table: how an item is told apart into words is one with how it is searched, and
# a later program that does it otherwise has to fill the index anew.
from estimator.store.item_words import kept_words, row_number, words_of_item

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_AT_ONCE = 1_000
# Signs are in words where Python left them; ascii takes all other letters as they are.
_SQLITE = (
    """CREATE VIRTUAL TABLE catalogue_item_words USING fts5(
        words, tokenize="ascii tokenchars ':=./'", detail=none, columnsize=0)""",
    # Nothing can refer to the index, so that it is emptied when a list goes, for any reason.
    """CREATE TRIGGER catalogue_item_words_go AFTER DELETE ON catalogue_versions BEGIN
        DELETE FROM catalogue_item_words WHERE rowid BETWEEN
            (old.organisation_id << 43) | (old.item_set << 24)
            AND (old.organisation_id << 43) | (old.item_set << 24) | 16777215;
    END""",
)
_IN_FORCE = """SELECT organisation_id, item_set FROM catalogue_versions
    WHERE superseded_at IS NULL ORDER BY organisation_id, item_set"""
_ITEMS = """SELECT place, number, description, kind FROM catalogue_items
    WHERE organisation_id = :organisation_id AND item_set = :item_set ORDER BY place"""
_KEPT = """UPDATE catalogue_versions SET words_kept = :kept
    WHERE organisation_id = :organisation_id AND item_set = :item_set"""
_KEEP_SQLITE = "INSERT INTO catalogue_item_words (rowid, words) VALUES (:rowid, :words)"
_KEEP_POSTGRESQL = """UPDATE catalogue_items SET words = CAST(:words AS tsvector)
    WHERE organisation_id = :organisation_id AND item_set = :item_set AND place = :place"""


def upgrade() -> None:
    connection = op.get_bind()
    sqlite = connection.dialect.name == "sqlite"
    for statement in _SQLITE if sqlite else ("ALTER TABLE catalogue_items ADD words tsvector",):
        op.execute(statement)
    # Neither database has to make the table anew for a column with a constant default.
    op.add_column(
        "catalogue_versions",
        sa.Column("words_kept", sa.Boolean(), server_default=sa.false(), nullable=False),
    )
    for version in connection.execute(sa.text(_IN_FORCE)).mappings().all():
        _fill(connection, dict(version), sqlite)
    if not sqlite:
        op.execute("CREATE INDEX ix_catalogue_items_words ON catalogue_items USING gin (words)")


def _fill(connection: sa.Connection, version: dict[str, int], sqlite: bool) -> None:
    owner = version["organisation_id"], version["item_set"]
    few_at_once = {"yield_per": _AT_ONCE}
    items = connection.execute(sa.text(_ITEMS), version, execution_options=few_at_once)
    while some := list(islice(items, _AT_ONCE)):
        rows: list[dict[str, Any]] = []
        for place, *texts in some:
            words = kept_words(*owner, words_of_item(*texts), sqlite=sqlite)
            key = {"rowid": row_number(*owner, place)} if sqlite else {**version, "place": place}
            rows.append({**key, "words": words})
        connection.execute(sa.text(_KEEP_SQLITE if sqlite else _KEEP_POSTGRESQL), rows)
    connection.execute(sa.text(_KEPT), {**version, "kept": True})
