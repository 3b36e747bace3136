"""``leakdx paths``: where things are."""

from argparse import Namespace

from leakdx.commands.output import say
from leakdx.errors import ExitCode
from leakdx.knowledge.loader import shipped_folder


def run(args: Namespace) -> int:
    """Print the folders that leakdx uses."""
    from leakdx.knowledge.cache import cache_folder

    say(f"knowledge: {shipped_folder()}\ncache: {cache_folder() or 'none is kept'}")
    return ExitCode.OK
