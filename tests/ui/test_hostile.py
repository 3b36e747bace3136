"""What anyone may type stands on the screen as it was typed, and nothing of it acts."""

from pathlib import Path

import pytest
from msgspec import structs
from textual.events import Paste
from textual.widgets import Input

from leakdx.case import Note, Observation
from leakdx.clean import clean_line
from leakdx.store.database.casestore import open_store
from leakdx.ui.screens.ledger import LedgerScreen
from leakdx.ui.screens.textpage import TextPage
from tests.hostile import ALL
from tests.shipped import parts
from tests.ui.driven import Hand, asks, case_screen, is_home, opened, press, settled, shown, until

pytestmark = pytest.mark.asyncio

MARKUP = "[/x] [b [Bob] [@click=app.quit]go[/] [red]"
EVIL = f"{MARKUP} {ALL} \u202eltr"


def _begun(folder: Path) -> str:
    """A case with such text in every field, in a store of its own."""
    _, case, _ = parts("01")
    evil, who = clean_line(EVIL), clean_line(MARKUP)
    seen = {entry.number for entry in case.log if isinstance(entry, Observation)}
    log = tuple(structs.replace(e, note=evil, who=who) if e.number in seen else e for e in case.log)
    note = Note(number=len(log) + 1, who="AB", note=clean_line(EVIL))
    unit = clean_line(f"{MARKUP} truck")
    open_store(f"sqlite:///{folder / 'cases.db'}").begin(
        structs.replace(case, id="evil", unit=unit, story=clean_line(EVIL), log=(*log, note))
    )
    return unit


async def test_stored_text_is_shown_and_does_nothing(tmp_path: Path) -> None:
    unit = _begun(tmp_path)
    async with opened(tmp_path, size=(140, 40)) as pilot:
        assert unit in shown(pilot)
        await pilot.click("#cases", offset=(30, 0))
        await asks(pilot)
        assert unit in shown(pilot)
        await pilot.press("l")
        await until(pilot, lambda: isinstance(pilot.app.screen, LedgerScreen) and pilot.app.screen.marked is not None)
        assert MARKUP in shown(pilot)
        await pilot.click("#details", offset=(10, 0))
        await pilot.click("#rows", offset=(40, 2))  # a line is answered anew, and that is all
        await until(pilot, lambda: pilot.app.screen is case_screen(pilot))
        await asks(pilot)
        await pilot.press("v")
        await until(pilot, lambda: isinstance(pilot.app.screen, TextPage) and bool(pilot.app.screen.text))
        assert MARKUP in " ".join(shown(pilot).split())
        assert pilot.app.is_running


TYPED = (MARKUP, "\u202eabc\u2066", "🚛 e\u0301 漢字", "x" * 10_000)


async def test_typed_text_is_shown_and_kept_as_text_in_every_field(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        screen = case_screen(pilot)
        for typed in TYPED:
            await _paste(pilot, "a", typed)
            await pilot.press("enter")
            await asks(pilot)
            note = screen.sitting.interview.case.log[-1]
            assert isinstance(note, Note)
            assert note.note == clean_line(typed)
            await pilot.press("l")
            await until(pilot, lambda: isinstance(pilot.app.screen, LedgerScreen))
            await until(pilot, lambda n=note: f"{n.number}  " in shown(pilot))  # type: ignore[misc]
            assert clean_line(typed)[:10].split()[0] in shown(pilot)
            await pilot.press("escape")
            await _paste(pilot, "s", typed)
            await settled(pilot)
            await pilot.press("escape")
            await asks(pilot)
            await _paste(pilot, "t", typed)
            await pilot.press("enter")
            await until(pilot, lambda: "Not taken" in shown(pilot))
            await pilot.press("escape")
            assert pilot.app.screen is screen


async def _paste(pilot: Hand, key: str, typed: str) -> None:
    """Open a field by its key, and paste a text into it."""
    await pilot.press(key)
    await until(pilot, lambda: isinstance(pilot.app.focused, Input))
    field = pilot.app.focused
    assert isinstance(field, Input)
    field.value = ""
    pilot.app.post_message(Paste(typed))
    await until(pilot, lambda: bool(field.value))


async def test_a_search_at_home_takes_anything(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await pilot.press("slash", *"[/x%_", "enter")
        await until(pilot, lambda: "No case has that in it" in shown(pilot))
        await pilot.press("escape")
        await until(pilot, lambda: is_home(pilot.app))
