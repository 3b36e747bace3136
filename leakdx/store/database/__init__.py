"""The case store: many cases in one SQLite file, or in PostgreSQL for a shop with many bays.

Nothing here is imported by a command that reads a case file only: SQLAlchemy costs more than the diagnosis.
"""
