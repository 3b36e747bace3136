"""``leakdx knowledge map``: the causes of a knowledge by zone, as a picture."""

from argparse import Namespace

from leakdx.commands.inputs import knowledge_for
from leakdx.commands.pictures import Drawn, as_bytes, kind_of, put
from leakdx.errors import ExitCode


def run(args: Namespace) -> int:
    """Draw the map of a knowledge, or of one zone of it."""
    from leakdx.diagrams.cause_map import map_dot, map_svg

    kind = kind_of(args)
    what = knowledge_for(args.knowledge), args.zone
    picture = Drawn(lambda: map_svg(*what), lambda: map_dot(*what))
    put(as_bytes(picture, kind, on_dark=args.dark), args.out, force=args.force)
    return ExitCode.OK
