"""``leakdx paths``: where things are."""

from argparse import Namespace

from leakdx.commands.output import say
from leakdx.errors import ExitCode
from leakdx.folders import cache_folder
from leakdx.knowledge.loader import shipped_folder
from leakdx.store.database.place import store_place
from leakdx.store.settings import settings_path


def run(args: Namespace) -> int:
    """Print the folders and files that leakdx uses."""
    places = {
        "knowledge": shipped_folder(),
        "settings": settings_path() or "none are read",
        "cache": cache_folder() or "none is kept",
        "case store": store_place(None).name,
    }
    say("\n".join(f"{what}: {where}" for what, where in places.items()))
    return ExitCode.OK
