"""``leakdx draw``: the reasons of a case, or of one thing in it, as a picture."""

from argparse import Namespace
from collections.abc import Callable
from pathlib import Path

from leakdx.commands.inputs import diagnosed
from leakdx.commands.output import say_bytes, talk
from leakdx.errors import ExitCode, UsageError
from leakdx.store.files import USUAL, write_new

TO_OUTPUT = "-"
KINDS = (".svg", ".dot")


def run(args: Namespace) -> int:
    """Draw one case into a file."""
    return drawn(args, lambda as_text: _picture(args, as_text))


def drawn(args: Namespace, picture: Callable[[bool], bytes]) -> int:
    """Write a picture where ``args.out`` says; ``picture`` is asked for DOT text (True) or SVG."""
    out = Path(args.out)
    if args.out != TO_OUTPUT and out.suffix not in KINDS:
        raise UsageError(f"'{args.out}' does not end in .svg or .dot; name it so, or - for standard output")
    made = picture(out.suffix == ".dot")
    if args.out == TO_OUTPUT:
        say_bytes(made)
    else:
        write_new(out, made, replace=args.force, mode=USUAL)
        talk(f"{args.out} is written")
    return ExitCode.OK


def _picture(args: Namespace, as_text: bool) -> bytes:
    from leakdx.diagrams.justification import justification_dot, justification_svg
    from leakdx.diagrams.reasoning import reasoning_dot, reasoning_svg

    diagnosis = diagnosed(args)
    if args.thing is not None:
        one = diagnosis, args.thing
        return justification_dot(*one).encode() if as_text else justification_svg(*one)
    whole = diagnosis.knowledge, diagnosis.case, diagnosis
    return reasoning_dot(*whole).encode() if as_text else reasoning_svg(*whole)
