"""``leakdx cases forget``: whose truck it was, taken out of a case for good."""

from argparse import Namespace

from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say, talk
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode, UsageError
from leakdx.store.database.forget import forget, made_from


def run(args: Namespace) -> int:
    """Take it out, once it was said twice."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    id = store.meant(args.case)
    if args.sure != id:
        raise UsageError(f"what is taken out cannot be brought back; say the whole id once more: --sure {id}")
    forget(store, id, knowledge, photos=args.photos)
    out, stand = (", photos", "Notes") if args.photos else ("", "Notes and photos")
    said = f"unit, truck{out} and the driver's words are taken out; what was seen stands. {stand} are as they were."
    say(f"case {id}: {said}")
    for other in made_from(store, id):
        talk(f"Case {other} was merged into it and holds its own: leakdx cases forget {other} --sure {other}")
    return ExitCode.OK
