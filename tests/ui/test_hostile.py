"""What anyone may type stands on the screen as it was typed, and nothing of it acts."""

from pathlib import Path

import pytest
from msgspec import structs
from textual.events import Paste

from leakdx.case import Note, Observation
from leakdx.clean import clean, clean_line
from leakdx.store.database.casestore import open_store
from leakdx.ui.screens.ledger import LedgerScreen
from leakdx.ui.screens.textpage import TextPage
from tests.hostile import ALL
from tests.shipped import parts
from tests.ui.driven import Hand, asks, case_screen, is_home, opened, settled, shown, until
from tests.ui.fields import FIELDS, LEAVES_THE_CASE, decided, field_of, to_case, under_repair

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


TYPED = f"🚛 e\u0301 漢字 {MARKUP} {ALL} \u202eabc\u2066 {'x' * 10_000}"
BEGINS = f"🚛 e\u0301 漢字 {MARKUP}"
KEPT = {"case.action_note", "nextshift.action_note", "paths._reason", "repair._recheck", "repair._signed"}
"""Fields that take any words into the log; the others look for them, try them, or refuse what is no reading."""


async def test_what_is_pasted_into_any_field_stands_there_and_nothing_of_it_acts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        await decided(pilot)
        sitting = case_screen(pilot).sitting
        for name in FIELDS:
            field = await field_of(pilot, name)
            field.value = ""
            pilot.app.post_message(Paste(TYPED))
            await until(pilot, lambda f=field: bool(f.value))  # type: ignore[misc]
            assert clean_line(field.value) == clean_line(TYPED)
            await pilot.press("home")
            assert BEGINS in _harmless(pilot), name
            before = len(sitting.interview.case.log)
            await pilot.press("enter")
            await settled(pilot)
            _harmless(pilot)
            pilot.app.clear_notifications()  # what was said stands over the next field
            if name in KEPT:
                log = sitting.interview.case.log[before:]
                said = [f"{entry.who} {getattr(entry, 'text', '')} {entry.note}" for entry in log]
                assert any(clean_line(TYPED).partition(" ")[2] in words for words in said), name
            if name not in LEAVES_THE_CASE:
                await to_case(pilot)
        assert pilot.app.is_running
    assert {path.name.partition(".")[0] for path in tmp_path.iterdir()} == {"cases"}, "a file was written"


def _harmless(pilot: Hand) -> str:
    """What stands on the screen, in which nothing steers the terminal or turns what is read."""
    text = shown(pilot)
    assert clean(text) == text
    return text


async def test_a_search_at_home_takes_anything(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await pilot.press("slash", *"[/x%_", "enter")
        await until(pilot, lambda: "No case has that in it" in shown(pilot))
        await pilot.press("escape")
        await until(pilot, lambda: is_home(pilot.app))
