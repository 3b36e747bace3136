"""A copy of loaded knowledge kept between runs, so that a start need not read YAML again.

It lies as JSON in the user's cache folder (``LEAKDX_CACHE`` names another one; empty: none is kept), under a
name made of the files' contents, their labels and the version of leakdx. It can be thrown away at any time:
a copy that cannot be read or does not fit is not used, one that cannot be written is not missed.
"""

import hashlib
import os
import tempfile
from contextlib import suppress
from pathlib import Path

import msgspec

from leakdx import __version__
from leakdx.folders import cache_folder
from leakdx.knowledge.model import Knowledge

_HERE = Path(__file__).parent
_KEPT = 8
"""Copies of other contents that stay beside the newest."""


def read_copy(hash: str) -> Knowledge | None:
    """The copy of these contents, or None."""
    path = _path(hash)
    if path is None:
        return None
    try:
        known = msgspec.json.decode(path.read_bytes(), type=Knowledge)
    except (OSError, ValueError, msgspec.MsgspecError, RecursionError):
        return None
    return known if known.hash == hash else None


def write_copy(knowledge: Knowledge) -> None:
    """Keeps a copy, whole or not at all; older copies are cleared away. Never raises."""
    path = _path(knowledge.hash)
    if path is None:
        return
    with suppress(OSError):
        keep(path, msgspec.json.encode(knowledge))
        _clear_old(path.parent)


def keep(path: Path, data: bytes) -> None:
    """Writes a file of the cache folder, whole or not at all. OSError where it cannot be."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem[:16]}-")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        os.replace(name, path)
    except OSError:
        os.unlink(name)
        raise


def _path(hash: str) -> Path | None:
    folder = cache_folder()
    if folder is None:
        return None
    name = hashlib.sha256(f"{__version__} {_code()} {hash}".encode()).hexdigest()
    return folder / f"knowledge-{name[:32]}.json"


def _code() -> str:
    """Sizes and times of the loader's own files: while leakdx itself is being changed, no old copy is used."""
    stamps = []
    for folder in (_HERE, _HERE / "checks"):
        with os.scandir(folder) as entries:
            stamps += [(e.name, e.stat().st_size, e.stat().st_mtime_ns) for e in entries if e.name.endswith(".py")]
    return str(sorted(stamps))


def _clear_old(folder: Path) -> None:
    copies = sorted(folder.glob("knowledge-*.json"), key=lambda path: path.stat().st_mtime, reverse=True)
    for path in copies[_KEPT:]:
        path.unlink(missing_ok=True)
