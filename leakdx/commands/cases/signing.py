"""Entries that commands about stored cases write, signed as those of an interview are."""

from argparse import Namespace
from datetime import datetime
from typing import Any

from leakdx.clean import clean_line
from leakdx.commands.inputs import ways_here
from leakdx.errors import UsageError


def signed(args: Namespace, number: int) -> dict[str, Any]:
    """What every entry carries: number, who, when, which bay, note. Raises UsageError."""
    who = clean_line(args.who)
    if not who:
        raise UsageError("--who is blank; give initials")
    at = datetime.now().replace(microsecond=0)
    return {"number": number, "who": who, "at": at, "bay": ways_here().bay(args.bay), "note": clean_line(args.note)}
