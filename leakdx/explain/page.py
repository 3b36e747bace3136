"""Plain text within a width: headings, paragraphs that hang under their label, lines with a figure at the end."""

import re
from collections.abc import Iterable
from textwrap import wrap

from leakdx.clean import clean, clean_line

NARROWEST = 40
USUAL = 80
_BOUND = re.compile(r"(?<=\d) (?=%|[A-Za-z]{1,3}\b)|(?<=\bentry) (?=\d)")
_KEPT = "\0"
"""Stands for a blank that no line may break at, between a number and its own; cleaned text has none of these."""


def wrapped(text: str, width: int, first: str = "", hang: str = "") -> list[str]:
    """Lines no wider than ``width``, with ``first`` before the first and ``hang`` before the others."""
    kept = _BOUND.sub(_KEPT, text)
    lines = wrap(kept, width, initial_indent=first, subsequent_indent=hang, break_on_hyphens=False)
    return [line.replace(_KEPT, " ") for line in lines]


class Page:
    """Lines of text, none wider than ``width`` characters; whatever comes in is cleaned first."""

    def __init__(self, width: int = USUAL) -> None:
        self.width = max(width, NARROWEST)
        self._lines: list[str] = []

    def title(self, text: str) -> None:
        """The first line, underlined."""
        self._lines.extend(self._wrapped(clean_line(text), "", ""))
        self._lines.append("=" * self.width)

    def head(self, text: str, rest: str = "") -> None:
        """A section's head line, in capitals, after a blank line; ``rest`` goes on as it is."""
        if self._lines and self._lines[-1] != "=" * self.width:
            self.blank()
        said = clean_line(text).upper() + (f"  {clean_line(rest)}" if rest else "")
        self._lines.extend(self._wrapped(said, "", "  "))

    def blank(self) -> None:
        """One blank line, never two."""
        if self._lines and self._lines[-1]:
            self._lines.append("")

    def say(self, text: str, label: str = "", indent: int = 2, column: int = 0) -> None:
        """A paragraph. ``label`` stands before its first line, the others hang under the text after it.

        ``column``: where the text begins, counted from the indent, for labels that stand in a column.
        """
        first = " " * indent + label.ljust(column) if label else " " * (indent + column)
        hang = " " * len(first) if len(first) <= self.width // 2 else " " * (indent + 4)
        self._lines.extend(self._wrapped(clean_line(text), first, hang))

    def figure(self, text: str, figure: str, label: str = "", indent: int = 2, column: int = 0) -> None:
        """A paragraph with a figure at the right end of its first line."""
        first = " " * indent + label.ljust(column) if label else " " * (indent + column)
        room = self.width - len(figure) - 2
        lines = self._wrapped(clean_line(text), first, " " * len(first), room)
        lines[0] = f"{lines[0].ljust(self.width - len(figure))}{figure}"
        self._lines.extend(lines)

    def bullets(self, texts: Iterable[str], indent: int = 2, mark: str = "- ") -> None:
        """One paragraph for each text."""
        for text in texts:
            self.say(text, mark, indent)

    def text(self) -> str:
        """All of it."""
        return clean("\n".join(self._lines)).strip("\n") + "\n"

    def _wrapped(self, text: str, first: str, hang: str, width: int | None = None) -> list[str]:
        return wrapped(text, width or self.width, first, hang) or [first.rstrip()]
