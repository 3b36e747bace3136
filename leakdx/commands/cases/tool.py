"""``leakdx cases tool``: which cases rest on a measuring tool, and what becomes of them where it was bad."""

from argparse import Namespace

from leakdx.case import Case, Doubt
from leakdx.clean import clean_line
from leakdx.commands.cases.dates import day
from leakdx.commands.cases.signing import signed
from leakdx.commands.inputs import knowledge_here, knowledge_source
from leakdx.commands.output import say, talk
from leakdx.commands.stored import keep_shown, store_of
from leakdx.errors import CaseError, ExitCode, TooWideError, UsageError
from leakdx.explain.words import percent
from leakdx.knowledge.faults import suggest
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.names import meant
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import parsed
from leakdx.store.database.tools import distrust, relying_on
from leakdx.store.entries import CHANCE_IS, doubt_chance


def run(args: Namespace) -> int:
    """List the cases, and with --bad write the doubt into each."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    tool = clean_line(args.tool)
    found = relying_on(store, tool, day(args.since))
    if not found:
        talk(f"No case holds a reading by '{tool[:40]}'. Its name is what stands beside the readings.")
        return ExitCode.OK
    doubt = _doubt(args, knowledge, tool) if args.bad is not None else None
    for id, numbers in found.items():
        said = f"case {id}: read with it in entr{'y' if len(numbers) == 1 else 'ies'} {', '.join(map(str, numbers))}"
        if doubt is not None:
            before, _ = distrust(store, id, doubt, knowledge)
            moved = _moved(args, store, before, knowledge)
            said += f"; {moved}. Measure again with another one, or once it is calibrated."
        say(said)
    return ExitCode.OK


def _doubt(args: Namespace, knowledge: Knowledge, tool: str) -> Doubt:
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


def _moved(args: Namespace, store: CaseStore, before: Case, knowledge: Knowledge) -> str:
    """What led without the doubt, and what leads now, which is kept with the case as shown."""
    kept = store.kept(before.id)
    now = _diagnosed(knowledge, parsed(kept, knowledge))
    if isinstance(now, Diagnosis):
        keep_shown(store, kept, now, knowledge_source(args.knowledge), None)
    led, leads = _leader(_diagnosed(knowledge, before)), _leader(now)
    return f"{led} as before" if led == leads else f"{led} becomes {leads}"


def _diagnosed(knowledge: Knowledge, case: Case) -> Diagnosis | str:
    """The diagnosis, or why there is none."""
    try:
        return diagnose(knowledge, case)
    except TooWideError as error:
        return f"not diagnosed ({str(error).splitlines()[0]})"


def _leader(made: Diagnosis | str) -> str:
    if isinstance(made, str):
        return made
    first = made.causes[0]
    return f"{first.name} {percent(first.leaking_first)}"
