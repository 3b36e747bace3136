"""``leakdx draw``: the reasons as a picture."""

from argparse import Namespace
from pathlib import Path

from leakdx.commands.inputs import diagnosed
from leakdx.commands.output import say_bytes, talk
from leakdx.errors import ExitCode, UsageError
from leakdx.store.files import USUAL, write_new

TO_OUTPUT = "-"
KINDS = (".svg", ".dot")


def run(args: Namespace) -> int:
    """Draw one case into a file."""
    out = Path(args.out)
    if args.out != TO_OUTPUT and out.suffix not in KINDS:
        raise UsageError(f"'{args.out}' does not end in .svg or .dot; name it so, or - for standard output")
    from leakdx.diagrams.reasoning import reasoning_dot, reasoning_svg

    diagnosis = diagnosed(args)
    what = diagnosis.knowledge, diagnosis.case, diagnosis
    picture = reasoning_dot(*what).encode() if out.suffix == ".dot" else reasoning_svg(*what)
    if args.out == TO_OUTPUT:
        say_bytes(picture)
    else:
        write_new(out, picture, replace=args.force, mode=USUAL)
        talk(f"{args.out} is written")
    return ExitCode.OK
