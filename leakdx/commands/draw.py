"""``leakdx draw``: the reasons of a case, or of one thing in it, or its flange, as a picture."""

from argparse import Namespace
from typing import TYPE_CHECKING

from leakdx.commands.inputs import diagnosed
from leakdx.commands.pictures import Drawn, as_bytes, kind_of, put
from leakdx.errors import ExitCode, UsageError

if TYPE_CHECKING:
    from leakdx.reasoning.diagnosis import Diagnosis


def run(args: Namespace) -> int:
    """Draw one case into a file."""
    if args.flange and args.thing is not None:
        raise UsageError(f"--flange is a picture of its own; leave out '{args.thing[:60]}'")
    kind = kind_of(args, has_dot=not args.flange)
    made = diagnosed(args)
    picture = _flange(made) if args.flange else _reasons(made) if args.thing is None else _one(made, args.thing)
    put(as_bytes(picture, kind, on_dark=args.dark), args.out, force=args.force)
    return ExitCode.OK


def _reasons(diagnosis: "Diagnosis") -> Drawn:
    from leakdx.diagrams.reasoning import reasoning_dot, reasoning_svg

    whole = diagnosis.knowledge, diagnosis.case, diagnosis
    return Drawn(lambda: reasoning_svg(*whole), lambda: reasoning_dot(*whole))


def _one(diagnosis: "Diagnosis", thing: str) -> Drawn:
    from leakdx.diagrams.justification import justification_dot, justification_svg

    return Drawn(lambda: justification_svg(diagnosis, thing), lambda: justification_dot(diagnosis, thing))


def _flange(diagnosis: "Diagnosis") -> Drawn:
    from leakdx.interview.measuring.picture import flange_of, flange_svg

    knowledge, case = diagnosis.knowledge, diagnosis.case
    return Drawn(lambda: flange_svg(case, flange_of(knowledge, case)).encode())
