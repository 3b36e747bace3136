"""``leakdx cases list`` and ``leakdx cases find``: cases, one on a line."""

import json
from argparse import Namespace
from datetime import datetime

import msgspec

from leakdx.clean import clean_line
from leakdx.commands.cases.dates import day
from leakdx.commands.output import say, talk
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode
from leakdx.store.database.search import Row, Wanted, find


def run(args: Namespace) -> int:
    """Print the cases that are wanted."""
    is_open = None if getattr(args, "all", False) else True
    if args.closed:
        is_open = False
    elif getattr(args, "open", False):
        is_open = True
    wanted = Wanted(
        is_open=is_open,
        words=tuple(args.words),
        unit=args.unit,
        zone=args.zone,
        cause=args.cause,
        since=day(args.since),
        until=day(args.until),
        limit=args.limit and args.limit + 1,
    )
    rows = find(store_of(args), wanted)
    more = bool(args.limit) and len(rows) > args.limit
    rows = rows[: args.limit] if more else rows
    if args.json:
        say(json.dumps([msgspec.to_builtins(row) for row in rows], indent=2, ensure_ascii=False))
    elif rows:
        say("\n".join([_LINE.format("id", "last worked on", "state", "unit", "most likely"), *map(_line, rows)]))
    else:
        talk("No such case.")
    if more:
        talk(f"There are more; --limit {2 * args.limit} shows more of them.")
    return ExitCode.OK


_LINE = "{:<14}{:<18}{:<14}{:<24}{}"


def _line(row: Row) -> str:
    changed = datetime.fromisoformat(row.changed).astimezone().strftime("%Y-%m-%d %H:%M")
    state = f"in {row.merged_into}" if row.merged_into else row.outcome or "open"
    cells = (clean_line(row.id), changed, state, clean_line(row.unit)[:23], row.cause or "-")
    return _LINE.format(*(cell if cell.endswith(" ") else f"{cell} " for cell in cells)).rstrip()
