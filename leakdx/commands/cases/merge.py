"""``leakdx cases merge``: one case out of two of the same truck."""

from argparse import Namespace

from leakdx.commands.cases.signing import signed
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode
from leakdx.store.database.casestore import new_id
from leakdx.store.database.transfer import merge


def run(args: Namespace) -> int:
    """Merge, and say what came of it."""
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    one, other = store.meant(args.case), store.meant(args.other)
    made = merge(store, (one, other), args.id or new_id(), knowledge, signed(args, 0), same_truck=args.same_truck)
    say(f"case {made.id}: {len(made.log)} entries of {one} and {other}, which are closed; look: leakdx ask {made.id}")
    return ExitCode.OK
