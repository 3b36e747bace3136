"""``leakdx why``: the reasons as a tree of text."""

from argparse import Namespace

from leakdx.commands.inputs import diagnosed
from leakdx.commands.output import say
from leakdx.errors import ExitCode


def run(args: Namespace) -> int:
    """Print what the answer, or one thing in it, stands on."""
    from leakdx.explain.why import why_text

    diagnosis = diagnosed(args)
    say(why_text(diagnosis.knowledge, diagnosis.case, diagnosis, args.thing))
    return ExitCode.OK
