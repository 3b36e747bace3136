"""Files written whole or not at all."""

import hashlib
import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO

from leakdx.errors import StorageError


def fingerprint(data: bytes) -> str:
    """A short name for exactly these bytes."""
    return hashlib.sha256(data).hexdigest()


def read_bytes(path: Path) -> bytes:
    """The bytes of a file; StorageError in one sentence where it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise StorageError(f"{path}: cannot be read ({reason(error)})") from error


def typed_path(text: str) -> Path:
    """The path that was typed, ~ for one's own folder. StorageError where there is no such folder to begin with."""
    try:
        return Path(text).expanduser()
    except RuntimeError as error:
        raise StorageError(f"{text}: nobody here has that home folder; write the whole path") from error


PRIVATE = 0o600
"""For its owner only: a case holds customers' names."""
USUAL = 0o666
"""For whomever the umask lets."""
_NAME_SHOWN = 40
"""Characters of a name that its temporary file bears too, so that a long name leaves room for the rest."""


def write_new(path: Path, data: bytes, *, replace: bool = False, mode: int = PRIVATE) -> None:
    """Write ``data`` to ``path`` at once, as ``fill_new`` does."""
    fill_new(path, lambda file: file.write(data), replace=replace, mode=mode)


def fill_new(path: Path, fill: Callable[[IO[bytes]], object], *, replace: bool = False, mode: int = PRIVATE) -> None:
    """Write what ``fill`` writes to ``path`` at once, durably; a new file gets ``mode``, one replaced keeps its own.

    A temporary file in the same folder is written, flushed to the disk and moved into place, so that at
    any moment the path holds the old bytes or the new ones, whole. Without ``replace`` an existing file is
    refused. A link is followed. Raises StorageError in one sentence; the old file then stands untouched.
    """
    path = Path(os.path.realpath(path))
    folder = path.parent
    temporary = str(folder / f".{path.name[:_NAME_SHOWN]}.{os.urandom(6).hex()}.tmp")
    try:
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    except OSError as error:
        raise StorageError(f"{path}: not saved, no file can be made in {folder} ({reason(error)})") from error
    try:
        with os.fdopen(handle, "wb") as file:
            if replace:
                _keep_mode(path, temporary)
            fill(file)
            file.flush()
            os.fsync(file.fileno())
        if replace:
            os.replace(temporary, path)
        else:
            _move_to_free_name(temporary, path)
    except FileExistsError as error:
        _discard(temporary)
        raise StorageError(f"{path}: stands already and was not overwritten; give another name") from error
    except OSError as error:
        _discard(temporary)
        raise StorageError(f"{path}: not saved ({reason(error)}); what stood there is untouched") from error
    except BaseException:
        _discard(temporary)
        raise
    _sync_folder(folder)


def reason(error: OSError) -> str:
    """The system's reason in words, without its number."""
    return (error.strerror or type(error).__name__).lower()


def _move_to_free_name(temporary: str, path: Path) -> None:
    """Give the finished file its name; FileExistsError where something stands there already."""
    try:
        os.link(temporary, path)  # unlike a rename it fails where the name is taken
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        if path.exists():
            raise FileExistsError(path) from None
        os.replace(temporary, path)
    else:
        os.unlink(temporary)


def _keep_mode(path: Path, temporary: str) -> None:
    """What others may do with the old file they may do with the new one; best effort, as file systems differ."""
    with suppress(OSError):
        os.chmod(temporary, stat.S_IMODE(path.stat().st_mode))


def _discard(temporary: str) -> None:
    with suppress(OSError):
        os.unlink(temporary)


def _sync_folder(folder: Path) -> None:
    """Make the new name durable too; some file systems cannot, and the bytes are safe all the same."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
