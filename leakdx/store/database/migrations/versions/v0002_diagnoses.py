"""What was shown of a case, and the knowledge that it was reasoned with."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "knowledges",
        sa.Column("hash", sa.Text, primary_key=True),
        sa.Column("written", sa.Text, nullable=False),
        sa.Column("files", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "diagnoses",
        sa.Column("case_key", sa.Integer, sa.ForeignKey("cases.key"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("written", sa.Text, nullable=False),
        sa.Column("entries", sa.Integer, nullable=False),
        sa.Column("head", sa.Integer, nullable=False),
        sa.Column("shop", sa.Text),
        sa.Column("version", sa.Text, nullable=False),
        sa.Column("knowledge", sa.Text, sa.ForeignKey("knowledges.hash"), nullable=False),
        sa.Column("answers", sa.LargeBinary, nullable=False),
        sa.ForeignKeyConstraint(("case_key", "head"), ("heads.case_key", "heads.revision")),
        sqlite_strict=True,
    )
