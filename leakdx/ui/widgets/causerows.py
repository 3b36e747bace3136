"""Causes, each on one line: its bar, its chance, what the last answer moved, its name."""

from typing import TYPE_CHECKING

from textual.content import Content

from leakdx.ui.marks import bar
from leakdx.ui.widgets.plain import Plain, plain

if TYPE_CHECKING:
    from collections.abc import Sequence

    from leakdx.explain.glance import CauseNow, Glance

LEAST_MOVED = 0.05
"""Decibans: what moved by less is shown as not moved."""
BESIDE, BESIDE_BAR = 16, 6
"""Causes beside the question, and the cells of their bars."""


def cause_rows(causes: "Sequence[CauseNow]", width: int, *, plain_marks: bool) -> list[Content]:
    """The lines, with bars of ``width`` cells; what moved has a column only where something did."""
    from leakdx.explain.words import percent

    any_moved = any(abs(cause.decibans) >= LEAST_MOVED for cause in causes)
    rows = []
    for cause in causes:
        moved = f"{cause.decibans:+6.1f} dB" if abs(cause.decibans) >= LEAST_MOVED else " " * 9
        shown = bar(cause.chance, width, plain=plain_marks)
        rows.append(plain(f"{shown} {percent(cause.chance):>9}{f' {moved}' if any_moved else ''}  {cause.name}"))
    return rows


class CausesBeside(Plain):
    """The likeliest causes, beside the question where there is room."""

    def show(self, now: "Glance", *, plain_marks: bool) -> None:
        """Show them as they stand."""
        rows = cause_rows(now.causes[:BESIDE], BESIDE_BAR, plain_marks=plain_marks)
        self.say(Content("\n").join([plain("Causes (key c: all)", "bold"), *rows]))
