"""How commands write: clean text, in the width that the reader has."""

import shutil
import sys

from leakdx.clean import clean

USUAL_WIDTH = 80


def say(text: str) -> None:
    """Text as data, on standard output; whatever it was made from, nothing in it steers the terminal."""
    sys.stdout.write(clean(text).rstrip("\n") + "\n")


def talk(text: str) -> None:
    """A remark to whoever sits there, on standard error."""
    print(clean(text), file=sys.stderr)


def width() -> int:
    """Columns to fill: the terminal's, within what reads well; the usual 80 where the output is piped."""
    if not sys.stdout.isatty():
        return USUAL_WIDTH
    return max(40, min(shutil.get_terminal_size((USUAL_WIDTH, 24)).columns, 100))
