"""A page to hand over: for whom, into which file, and that it was written."""

import re
from typing import TYPE_CHECKING

from leakdx.errors import LeakdxError
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.pick import PickScreen

if TYPE_CHECKING:
    from leakdx.ui.screens.case import CaseScreen

READERS = (
    ("customer", "the customer: what we found, and the ways to go on"),
    ("record", "the file: complaint, cause, correction, measurements, photos"),
    ("job", "the bay: the job sheet and the measuring sheet, to be filled in by pen"),
    ("trainer", "the trainer: the whole reasoning"),
    ("tag", "the cab: a tag to hang up"),
)
"""Whom a page is for, and what stands on it."""
ASKED = "Write it to which file? A new one; nothing is written over. A name in .html makes a page for a browser."


async def hand_over(case: "CaseScreen") -> None:
    """Ask for whom and where to, write it, and say so."""
    reader = await case.app.push_screen_wait(PickScreen("A page for whom?", READERS))
    if reader is None:
        return
    usual = f"{_as_file_name(case.sitting.name)}-{reader}.pdf"
    typed = await case.app.push_screen_wait(LineScreen(ASKED, typed=usual))
    if typed is None:
        return
    try:
        said = await case.sitting.page(reader, typed)
    except LeakdxError as error:
        case.notify(str(error), title="Not written", severity="error", markup=False)
        return
    case.notify(said, markup=False)


def _as_file_name(name: str) -> str:
    """Letters, digits and dashes of a case's name; what else was typed is no part of a file's."""
    return re.sub(r"[^\w-]+", "-", name).strip("-") or "case"
