"""``leakdx cases show``: what stands in the file of one case."""

import json
from argparse import Namespace

import msgspec

from leakdx.case import Case, LogEntry
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode
from leakdx.interview.readback import read_back, signed_by
from leakdx.knowledge.model import Knowledge
from leakdx.store.database.kept import parsed
from leakdx.store.database.shown import Shown, shown_of


def run(args: Namespace) -> int:
    """Print the truck, the log and what was shown."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    kept = store.kept(store.meant(args.case))
    case, shown = parsed(kept, knowledge), shown_of(store.database, kept.id)
    say(_as_json(case, shown) if args.json else _as_text(knowledge, case, shown))
    return ExitCode.OK


def _as_text(knowledge: Knowledge, case: Case, shown: tuple[Shown, ...]) -> str:
    head = [f"case {case.id}: {'closed, ' + case.closed if case.closed else 'open'}"]
    head += [f"unit: {case.unit}"] if case.unit else []
    head += [f"{key}: {value}" for key, value in case.truck.items()]
    head += [f"axle: {knowledge.name(case.axle)}"] if case.axle else []
    head.append(f"came in for: {knowledge.name(case.complaint)}")
    head += [f"the driver's own words: {case.story}"] if case.story else []
    gone = case.withdrawn
    log = [_entry(knowledge, entry, gone.get(entry.number)) for entry in case.log]
    told = [
        f"  {one.written} after entry {one.entries}: leakdx {one.version}, knowledge {one.knowledge[:12]}"
        for one in shown
    ]
    return "\n".join([*head, "log:", *log, *(["diagnoses shown:", *told] if told else [])])


def _entry(knowledge: Knowledge, entry: LogEntry, withdrawn_by: int | None) -> str:
    said = read_back(knowledge, entry)
    note = f" - {entry.note}" if entry.note and entry.note not in said else ""
    gone = f" [withdrawn by entry {withdrawn_by}]" if withdrawn_by else ""
    return f"{entry.number:>4}. {said}{note} ({signed_by(entry)}){gone}"


def _as_json(case: Case, shown: tuple[Shown, ...]) -> str:
    said = [
        {"written": s.written, "entries": s.entries, "shop": s.shop, "version": s.version, "knowledge": s.knowledge}
        for s in shown
    ]
    return json.dumps({"case": msgspec.to_builtins(case), "shown": said}, indent=2, ensure_ascii=False)
