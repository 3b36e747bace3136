"""What stands half typed."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "drafts",
        sa.Column("case_key", sa.Integer, sa.ForeignKey("cases.key"), primary_key=True),
        sa.Column("page", sa.Text, primary_key=True),
        sa.Column("written", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("seal", sa.Text, nullable=False),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
