"""The tables of the case store, the same in SQLite and PostgreSQL; migrations/ makes them.

Times are texts, UTC, ISO 8601. A case's log is kept in the very lines of a case file (``entries.body``), its head
as the lines above the log (``heads.text``), each version of it anew: nothing that was written is ever changed, but
for what stands half typed (``drafts``).
What ``cases`` holds beyond key and id is drawn from the log, so that lists need not read it.
"""

from sqlalchemy import Column, ForeignKey, ForeignKeyConstraint, Index, Integer, LargeBinary, MetaData, Table, Text

VERSION_TABLE = "leakdx_version"
"""Where Alembic keeps the version; in PostgreSQL its being there marks a store of ours."""

metadata = MetaData()

cases = Table(
    "cases",
    metadata,
    Column("key", Integer, primary_key=True),
    Column("id", Text, nullable=False),
    Column("folded", Text, nullable=False, unique=True),
    Column("entries", Integer, nullable=False),
    Column("head", Integer, nullable=False),
    Column("began", Text, nullable=False),
    Column("changed", Text, nullable=False),
    Column("outcome", Text),
    Column("merged_into", Text),
    Column("unit", Text, nullable=False),
    Column("unit_folded", Text, nullable=False),
    Column("words", Text, nullable=False),
    Column("zone", Text),
    Column("cause", Text),
    Index("cases_by_change", "changed", "key"),
    sqlite_strict=True,
)
"""``folded``: the id as it is looked up. ``entries``, ``head``: how many there are, which a writer must have seen.
``unit_folded``, ``words``: the unit, and everything typed into the case, casefolded, for searching. ``zone``,
``cause``: as last diagnosed."""

heads = Table(
    "heads",
    metadata,
    Column("case_key", Integer, ForeignKey("cases.key"), primary_key=True),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("written", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("seal", Text, nullable=False),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)

entries = Table(
    "entries",
    metadata,
    Column("case_key", Integer, ForeignKey("cases.key"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("written", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("tool", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("seal", Text, nullable=False),
    Index("entries_by_tool", "tool"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
"""``seal``: SHA-256 over the seal of the entry before and the body, so that damage and change show."""

knowledges = Table(
    "knowledges",
    metadata,
    Column("hash", Text, primary_key=True),
    Column("written", Text, nullable=False),
    Column("files", LargeBinary, nullable=False),
    sqlite_strict=True,
)
"""Each knowledge that a case was ever diagnosed with, once."""

diagnoses = Table(
    "diagnoses",
    metadata,
    Column("case_key", Integer, ForeignKey("cases.key"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("written", Text, nullable=False),
    Column("entries", Integer, nullable=False),
    Column("head", Integer, nullable=False),
    Column("shop", Text),
    Column("version", Text, nullable=False),
    Column("knowledge", Text, ForeignKey("knowledges.hash"), nullable=False),
    Column("answers", LargeBinary, nullable=False),
    ForeignKeyConstraint(("case_key", "head"), ("heads.case_key", "heads.revision")),
    sqlite_strict=True,
)
"""What was shown of a case with so many entries and that head; ``shop``: decided by these settings, if others."""

files = Table(
    "files",
    metadata,
    Column("sha256", Text, primary_key=True),
    Column("written", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("data", LargeBinary, nullable=False),
    sqlite_strict=True,
)
"""Photos, by the SHA-256 of their bytes as kept."""

drafts = Table(
    "drafts",
    metadata,
    Column("case_key", Integer, ForeignKey("cases.key"), primary_key=True),
    Column("page", Text, primary_key=True),
    Column("written", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("seal", Text, nullable=False),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
"""What stands half typed on a page of a case, as JSON, until it is written down or wiped. ``seal``: as of a head."""
