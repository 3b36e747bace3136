"""A cause on one line: its bar, its chance, what the last answer moved, its name."""

from typing import TYPE_CHECKING

from textual.content import Content

from leakdx.ui.marks import bar
from leakdx.ui.widgets.plain import Plain, plain

if TYPE_CHECKING:
    from leakdx.explain.glance import CauseNow, Glance

LEAST_MOVED = 0.05
"""Decibans: what moved by less is shown as not moved."""
BESIDE, BESIDE_BAR = 16, 8
"""Causes beside the question, and the cells of their bars."""


def cause_row(cause: "CauseNow", width: int, *, plain_marks: bool) -> Content:
    """The line, with a bar of ``width`` cells."""
    from leakdx.explain.words import percent

    shown = bar(cause.chance, width, plain=plain_marks)
    moved = f"{cause.decibans:+6.1f} dB" if abs(cause.decibans) >= LEAST_MOVED else " " * 9
    return plain(f"{shown} {percent(cause.chance):>9} {moved}  {cause.name}")


class CausesBeside(Plain):
    """The likeliest causes, beside the question where there is room."""

    def show(self, now: "Glance", *, plain_marks: bool) -> None:
        """Show them as they stand."""
        rows = [cause_row(cause, BESIDE_BAR, plain_marks=plain_marks) for cause in now.causes[:BESIDE]]
        self.say(Content("\n").join([plain("Causes (key c: all)", "bold"), *rows]))
