"""How commands write: clean text, in the width that the reader has."""

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from leakdx.clean import clean
from leakdx.errors import StorageError

USUAL_WIDTH = 80


class OutputError(StorageError):
    """Standard output takes no more, for another reason than that its reader went away."""


def is_terminal() -> bool:
    """Whether keys can be read and a screen drawn."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def say(text: str) -> None:
    """Text as data, on standard output; whatever it was made from, nothing in it steers the terminal."""
    with _to_output():
        sys.stdout.write(clean(text).rstrip("\n") + "\n")


def say_bytes(data: bytes) -> None:
    """Bytes as data, on standard output."""
    with _to_output():
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()


def ask_for(prompt: str) -> None:
    """A prompt, shown before anything is read."""
    with _to_output():
        sys.stdout.write(f"{prompt}> ")
        sys.stdout.flush()


def flush() -> None:
    """Hand on what was said, so that it is known whether it arrived."""
    with _to_output():
        sys.stdout.flush()


def silence() -> None:
    """Standard output takes no more; Python must not try once again when it ends."""
    with suppress(AttributeError, OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def talk(text: str) -> None:
    """A remark to whoever sits there, on standard error; a remark that nobody can get is no reason to stop."""
    with suppress(OSError):
        print(clean(text), file=sys.stderr)


def width() -> int:
    """Columns to fill: the terminal's, within what reads well; the usual 80 where the output is piped."""
    if sys.stdout is None or not sys.stdout.isatty():
        return USUAL_WIDTH
    return max(40, min(shutil.get_terminal_size((USUAL_WIDTH, 24)).columns, 100))


@contextmanager
def _to_output() -> Iterator[None]:
    """OutputError where writing fails; BrokenPipeError stays, since a reader that has enough is no fault."""
    if sys.stdout is None:  # what Python gives where it was closed from the start
        raise OutputError("standard output is closed; send it somewhere")
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        why = (error.strerror or type(error).__name__).lower()
        raise OutputError(f"standard output cannot be written ({why}); send it where there is room") from error
