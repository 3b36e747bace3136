"""``leakdx cases list`` and ``leakdx cases find``: cases, one on a line."""

import json
from argparse import Namespace
from collections.abc import Mapping
from datetime import datetime

import msgspec

from leakdx.clean import clean_line
from leakdx.commands.cases.dates import day
from leakdx.commands.inputs import knowledge_for
from leakdx.commands.output import say, talk
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode
from leakdx.knowledge.entry import Entry
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.names import meant
from leakdx.store.database.search import Row, Wanted, find


def run(args: Namespace) -> int:
    """Print the cases that are wanted."""
    is_open = None if getattr(args, "all", False) else True
    if args.closed:
        is_open = False
    elif getattr(args, "open", False):
        is_open = True
    knowledge = knowledge_for(None)
    wanted = Wanted(
        is_open=is_open,
        words=tuple(args.words),
        unit=args.unit,
        zone=_meant(args.zone, knowledge.zones),
        cause=_meant(args.cause, knowledge.causes),
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
        head = _LINE.format("id", "last worked on", "state", "unit", "most likely")
        say("\n".join([head, *(_line(row, knowledge) for row in rows)]))
    else:
        talk("No such case.")
    if more:
        talk(f"There are more; --limit {2 * args.limit} shows more of them.")
    return ExitCode.OK


_LINE = "{:<14}{:<18}{:<14}{:<24}{}"


def _meant(typed: str | None, entries: Mapping[str, Entry]) -> str | None:
    """The id that was typed, or meant by a name; a shop's own id is in no knowledge that is read here."""
    return typed and (meant(typed, entries) or typed)


def _line(row: Row, knowledge: Knowledge) -> str:
    changed = datetime.fromisoformat(row.changed).astimezone().strftime("%Y-%m-%d %H:%M")
    state = f"in {row.merged_into}" if row.merged_into else row.outcome or "open"
    cause = knowledge.name(row.cause) if row.cause else "-"
    cells = (clean_line(row.id), changed, state, clean_line(row.unit)[:23], clean_line(cause))
    return _LINE.format(*(cell if cell.endswith(" ") else f"{cell} " for cell in cells)).rstrip()
