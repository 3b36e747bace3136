"""``leakdx why``: the reasons as a tree of text, or how far the answer hangs on judged numbers."""

from argparse import Namespace

from leakdx.commands.inputs import diagnosed
from leakdx.commands.output import say
from leakdx.errors import ExitCode, UsageError

MOST_DRAWS = 10_000


def run(args: Namespace) -> int:
    """Print what the answer, or one thing in it, stands on."""
    if args.how_sure:
        return _how_sure(args)
    if args.json or args.draws is not None:
        raise UsageError("--json and --draws go with --how-sure")
    from leakdx.explain.why import why_text

    diagnosis = diagnosed(args)
    say(why_text(diagnosis.knowledge, diagnosis.case, diagnosis, args.thing))
    return ExitCode.OK


def _how_sure(args: Namespace) -> int:
    """Print on which judged numbers the leader and the repair hang."""
    if args.thing is not None:
        raise UsageError("--how-sure is about the whole answer; name no THING with it")
    draws = _draws(args.draws)
    import msgspec

    from leakdx.explain.how_sure import how_sure_text
    from leakdx.reasoning.sensitivity import hanging
    from leakdx.reasoning.uncertain import DRAWS, all_together

    diagnosis = diagnosed(args)
    hangs, together = hanging(diagnosis), all_together(diagnosis, draws or DRAWS)
    if args.json:
        say(msgspec.json.format(msgspec.json.encode({"hangs_on": hangs, "together": together})).decode())
    else:
        say(how_sure_text(diagnosis, hangs, together))
    return ExitCode.OK


def _draws(typed: int | None) -> int | None:
    if typed is not None and not 1 <= typed <= MOST_DRAWS:
        raise UsageError(f"--draws is a count of 1 to {MOST_DRAWS}, not {typed}")
    return typed
