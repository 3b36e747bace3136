"""A tree of text: branches drawn with plain characters, every line within a width."""

from collections.abc import Iterator

from msgspec import Struct

from leakdx.clean import clean_line
from leakdx.explain.page import wrapped

_TEXT_AT_LEAST = 10
"""Columns that are left to the text however deep it stands."""


class Branch(Struct, frozen=True):
    """A line of text, a figure at its right end if there is one, and what hangs below it."""

    text: str
    below: tuple["Branch", ...] = ()
    figure: str = ""


def pruned(branch: Branch, depth: int) -> Branch:
    """The branch without what hangs deeper than ``depth`` below it."""
    return Branch(branch.text, tuple(pruned(b, depth - 1) for b in branch.below) if depth else (), branch.figure)


def tree_text(branch: Branch, width: int) -> str:
    """The tree as lines, the root first."""
    return "\n".join(_lines(branch, "", "", width)) + "\n"


def _lines(branch: Branch, first: str, rest: str, width: int) -> Iterator[str]:
    """``first`` stands before the first line, ``rest`` before all others."""
    hang = rest + ("|  " if branch.below else "   ")
    room = max(width - len(hang) - (len(branch.figure) + 1 if branch.figure else 0), _TEXT_AT_LEAST)
    lines = wrapped(clean_line(branch.text), room) or [""]
    if branch.figure:
        lines[0] = lines[0].ljust(width - len(first) - len(branch.figure)) + branch.figure
    yield first + lines[0]
    yield from (hang + line for line in lines[1:])
    for place, below in enumerate(branch.below, start=1):
        is_last = place == len(branch.below)
        yield from _lines(below, rest + ("`- " if is_last else "|- "), rest + ("   " if is_last else "|  "), width)
