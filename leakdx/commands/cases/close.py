"""``leakdx cases close``: the case is done."""

from argparse import Namespace

from msgspec import structs

from leakdx.case import Record
from leakdx.commands.cases.signing import signed
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode, UsageError


def run(args: Namespace) -> int:
    """Write down how the case ended."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    home = store.home(store.meant(args.case), knowledge)
    case = home.case
    if case.closed:
        raise UsageError(f"case {case.id} is closed already ({case.closed}); reopen it first to close it otherwise")
    entry = Record(kind="closed", text=args.outcome, **signed(args, len(case.log) + 1))
    home.save(structs.replace(case, log=(*case.log, entry)))
    say(f"case {case.id} is closed: {args.outcome}")
    return ExitCode.OK
