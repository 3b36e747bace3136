"""``leakdx knowledge map``: the causes of a knowledge by zone, as a picture."""

from argparse import Namespace

from leakdx.commands.draw import drawn
from leakdx.commands.inputs import knowledge_for


def run(args: Namespace) -> int:
    """Draw the map of a knowledge, or of one zone of it."""
    from leakdx.diagrams.cause_map import map_dot, map_svg

    knowledge = knowledge_for(args.knowledge)
    what = knowledge, args.zone
    return drawn(args, lambda as_text: map_dot(*what).encode() if as_text else map_svg(*what))
