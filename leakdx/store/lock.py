"""One at a time: whoever saves a file keeps others who save it waiting until it is done."""

import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from leakdx.errors import StorageError
from leakdx.store.files import reason

try:
    import fcntl
except ImportError:  # not every system has it
    fcntl = None  # type: ignore[assignment]

LONGEST_WAIT = 10.0
"""Seconds; a save takes some thousandths of one."""
_PAUSE = 0.01

_Release = Callable[[], None]


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the file for oneself, as far as others ask too. Raises StorageError after ``LONGEST_WAIT``.

    The file is replaced when it is saved, so that a lock of its own would go with it: its folder is locked,
    or, where that cannot be, a file beside it stands for the lock.
    """
    path = Path(os.path.realpath(path))
    until = time.monotonic() + LONGEST_WAIT
    while (release := _take(path)) is None:
        if time.monotonic() > until:
            beside = _beside(path)
            remedy = f"delete {beside} if nobody is" if beside.exists() else "try again"
            raise StorageError(f"{path}: not saved, someone else is saving it all the while; {remedy}")
        time.sleep(_PAUSE)
    try:
        yield
    finally:
        release()


def _take(path: Path) -> _Release | None:
    """The lock, as what gives it back; None while someone else has it."""
    if fcntl is None:
        return _take_file(path)
    try:
        handle = os.open(path.parent, os.O_RDONLY)
    except OSError:  # a folder that may be written but not read
        return _take_file(path)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(handle)
        return None
    except OSError:  # network folders know no such lock
        os.close(handle)
        return _take_file(path)
    return lambda: os.close(handle)


def _take_file(path: Path) -> _Release | None:
    beside = _beside(path)
    try:
        os.close(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    except FileExistsError:
        return None
    except OSError as error:
        raise StorageError(f"{path}: not saved, no file can be made in {path.parent} ({reason(error)})") from error

    def release() -> None:
        with suppress(OSError):
            os.unlink(beside)

    return release


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name}.lock")
