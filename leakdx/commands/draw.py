"""``leakdx draw``: the reasons of a case, or of one thing in it, as a picture."""

from argparse import Namespace
from typing import TYPE_CHECKING

from leakdx.commands.inputs import diagnosed
from leakdx.commands.pictures import Drawn, as_bytes, kind_of, put
from leakdx.errors import ExitCode

if TYPE_CHECKING:
    from leakdx.reasoning.diagnosis import Diagnosis


def run(args: Namespace) -> int:
    """Draw one case into a file."""
    kind = kind_of(args)
    made = diagnosed(args)
    picture = _reasons(made) if args.thing is None else _one(made, args.thing)
    put(as_bytes(picture, kind, on_dark=args.dark), args.out, force=args.force)
    return ExitCode.OK


def _reasons(diagnosis: "Diagnosis") -> Drawn:
    from leakdx.diagrams.reasoning import reasoning_dot, reasoning_svg

    whole = diagnosis.knowledge, diagnosis.case, diagnosis
    return Drawn(lambda: reasoning_svg(*whole), lambda: reasoning_dot(*whole))


def _one(diagnosis: "Diagnosis", thing: str) -> Drawn:
    from leakdx.diagrams.justification import justification_dot, justification_svg

    return Drawn(lambda: justification_svg(diagnosis, thing), lambda: justification_dot(diagnosis, thing))
