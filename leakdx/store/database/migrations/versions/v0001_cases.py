"""Cases, their heads and their logs."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "cases",
        sa.Column("key", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("folded", sa.Text, nullable=False, unique=True),
        sa.Column("entries", sa.Integer, nullable=False),
        sa.Column("head", sa.Integer, nullable=False),
        sa.Column("began", sa.Text, nullable=False),
        sa.Column("changed", sa.Text, nullable=False),
        sa.Column("outcome", sa.Text),
        sa.Column("merged_into", sa.Text),
        sa.Column("unit", sa.Text, nullable=False),
        sa.Column("unit_folded", sa.Text, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("zone", sa.Text),
        sa.Column("cause", sa.Text),
        sqlite_strict=True,
    )
    op.create_index("cases_by_change", "cases", ["changed", "key"])
    op.create_table(
        "heads",
        sa.Column("case_key", sa.Integer, sa.ForeignKey("cases.key"), primary_key=True),
        sa.Column("revision", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("written", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("seal", sa.Text, nullable=False),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "entries",
        sa.Column("case_key", sa.Integer, sa.ForeignKey("cases.key"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("written", sa.Text, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("tool", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("seal", sa.Text, nullable=False),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("entries_by_tool", "entries", ["tool"])
