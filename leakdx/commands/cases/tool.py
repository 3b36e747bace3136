"""``leakdx cases tool``: which cases rest on a measuring tool, and what becomes of them where it was bad."""

from argparse import Namespace

from leakdx.case import Case, Doubt
from leakdx.clean import clean_line
from leakdx.commands.cases.dates import day
from leakdx.commands.cases.signing import signed
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say, talk
from leakdx.commands.stored import store_of
from leakdx.errors import CaseError, ExitCode, TooWideError, UsageError
from leakdx.explain.words import percent
from leakdx.knowledge.faults import suggest
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.names import meant
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.database.tools import Relying, distrust, relying_on
from leakdx.store.entries import CHANCE_IS, doubt_chance


def run(args: Namespace) -> int:
    """List the cases, and with --bad write the doubt into each."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    tool = clean_line(args.tool)
    keys = relying_on(store, tool, day(args.since))
    if not keys:
        talk(f"No case holds a reading by '{tool[:40]}'. Its name is what stands beside the readings.")
        return ExitCode.OK
    doubt = _doubt(args, knowledge, tool)
    for case in distrust(store, keys, doubt, knowledge, write=args.bad is not None):
        say(_line(knowledge, case, args.bad is not None))
    return ExitCode.OK


def _doubt(args: Namespace, knowledge: Knowledge, tool: str) -> Doubt:
    if args.bad is None:
        return Doubt(number=0, who="-", doubt=next(iter(knowledge.instruments)), tool=tool, chance=0.0)
    kind = meant(args.bad, knowledge.instruments)
    if kind is None:
        known = suggest(args.bad, knowledge.instruments)
        raise CaseError(f"there is no kind of tool '{clean_line(args.bad)[:40]}'; {known}")
    chance = doubt_chance(args.chance)
    if chance is None:
        raise UsageError(f"--chance {clean_line(args.chance)[:20]} is none; {CHANCE_IS}")
    if not args.who:
        raise UsageError("--bad is written into each case and signed; give --who")
    return Doubt(doubt=kind, tool=tool, chance=chance, **signed(args, 0))


def _line(knowledge: Knowledge, found: Relying, is_bad: bool) -> str:
    entries = ", ".join(map(str, found.numbers))
    said = f"case {found.id}: read with it in entr{'y' if len(found.numbers) == 1 else 'ies'} {entries}"
    if not is_bad:
        return said
    before, after = _leader(knowledge, found.before), _leader(knowledge, found.after)
    moved = f"{before} as before" if before == after else f"{before} becomes {after}"
    return f"{said}; {moved}. Measure again with another one."


def _leader(knowledge: Knowledge, case: Case) -> str:
    try:
        first = diagnose(knowledge, case).causes[0]
    except TooWideError as error:
        return f"not diagnosed ({str(error).splitlines()[0]})"
    return f"{first.name} {percent(first.leaking_first)}"
