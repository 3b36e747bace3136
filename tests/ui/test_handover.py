"""A page to hand over from a case: for whom, into which file; nothing is written over."""

from pathlib import Path

import pytest
from textual.widgets import Input

from leakdx.errors import StorageError
from leakdx.pages.readers import PAGES
from leakdx.store.files import typed_path
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.handover import READERS
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.pick import PickScreen
from tests.ui.driven import Hand, comes, opened, press, until


def test_a_home_folder_that_nobody_has_is_a_sentence() -> None:
    with pytest.raises(StorageError, match="write the whole path"):
        typed_path("~nobody-is-called-so/page.pdf")


def test_every_page_of_a_case_can_be_asked_for() -> None:
    assert [reader for reader, _ in READERS] == list(PAGES)


async def wanted(pilot: Hand, number: str, path: Path) -> str:
    """Ask for the page of a number into a file; the name that was offered for it."""
    await pilot.press("p")
    await comes(pilot, PickScreen)
    await pilot.press(number)
    await comes(pilot, LineScreen)
    field = pilot.app.screen.query_one(Input)
    offered, field.value = field.value, str(path)
    await pilot.press("enter")
    await comes(pilot, CaseScreen)
    return offered


@pytest.mark.asyncio
async def test_a_page_is_written_once_and_never_over_another(tmp_path: Path) -> None:
    out, html = tmp_path / "tag.pdf", tmp_path / "record.html"
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        assert (await wanted(pilot, "5", out)).endswith("-tag.pdf")
        await until(pilot, out.exists)
        assert out.read_bytes().startswith(b"%PDF")
        await wanted(pilot, "2", html)
        await until(pilot, html.exists)
        assert b"Repair record" in html.read_bytes()
        first = out.read_bytes()
        await wanted(pilot, "1", out)
        await until(pilot, lambda: any(note.severity == "error" for note in pilot.app._notifications))
        assert out.read_bytes() == first
