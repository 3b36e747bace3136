"""A day as it is typed in a command about cases."""

from datetime import date

from leakdx.clean import clean_line
from leakdx.errors import UsageError


def day(text: str | None) -> date | None:
    """The day that a text says; None where nothing was typed. Raises UsageError."""
    try:
        return date.fromisoformat(text) if text is not None else None
    except ValueError as error:
        raise UsageError(f"'{clean_line(text or '')[:40]}' is no date; write it as 2026-03-02") from error
