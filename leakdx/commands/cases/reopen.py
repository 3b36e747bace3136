"""``leakdx cases reopen``: work on a closed case again, or a comeback."""

from argparse import Namespace

from msgspec import structs

from leakdx.case import Comeback, LogEntry, Record
from leakdx.commands.cases.signing import signed
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import CaseError, ExitCode, UsageError
from leakdx.knowledge.faults import suggest
from leakdx.knowledge.names import meant
from leakdx.store.entries import places


def run(args: Namespace) -> int:
    """Write down that the case is open again."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    home = store.home(store.meant(args.case), knowledge)
    case = home.case
    if not case.closed:
        raise UsageError(f"case {case.id} is open; go on with it: leakdx ask {case.id}")
    base = signed(args, len(case.log) + 1)
    entry: LogEntry
    if args.comeback is None:
        entry = Record(kind="reopened", text=base["note"] or "no reason given", **{**base, "note": ""})
    else:
        place = meant(args.comeback, places(knowledge))
        if place is None:
            raise CaseError(f"there is no place '{args.comeback[:40]}'; {suggest(args.comeback, places(knowledge))}")
        entry = Comeback(place=place, **base)
    home.save(structs.replace(case, log=(*case.log, entry)))
    say(f"case {case.id} is open again; go on with it: leakdx ask {case.id}")
    return ExitCode.OK
