"""Photos."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "files",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("written", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
