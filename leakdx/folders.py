"""Where leakdx keeps things on this machine: the platform's own folders, or those that variables name.

A variable that is set but empty means that nothing of the kind is kept; cases always are.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platformdirs import PlatformDirs

CACHE = "LEAKDX_CACHE"
CONFIG = "LEAKDX_CONFIG"
DATA = "LEAKDX_DATA"


def cache_folder() -> Path | None:
    """Copies that make a start quicker; None where none are to be kept."""
    return _folder(CACHE, lambda: _platform().user_cache_path)


def config_folder() -> Path | None:
    """The shop's settings; None where none are to be read."""
    return _folder(CONFIG, lambda: _platform().user_config_path)


def data_folder() -> Path:
    """The case store, unless it is said otherwise, and what is kept of it before it is changed."""
    return Path(os.environ.get(DATA) or _platform().user_data_path)


def _folder(variable: str, usual: Callable[[], Path]) -> Path | None:
    named = os.environ.get(variable)
    if named is None:
        return usual()
    return Path(named) if named else None


def _platform() -> "PlatformDirs":
    from platformdirs import PlatformDirs  # not needed where the folder is named

    return PlatformDirs("leakdx", appauthor=False)
