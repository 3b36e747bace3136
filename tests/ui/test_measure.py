"""Measuring at the screen: typed in a row, corrected, left and found again, and written down like any answer."""

import asyncio
from pathlib import Path
from threading import Event

import pytest

from leakdx.case import Measurement, PlacesSeen
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.entry import EntryScreen
from leakdx.ui.widgets.flangeview import FlangeView
from tests.ui.driven import Hand, asks, case_screen, opened, press, shown, until
from tests.ui.fields import measuring

pytestmark = pytest.mark.asyncio
RING = ["225", "220", "230", "210", "90", "0", "80", "220", "222", "225", "219", "228", "224", "221", "223", "226"]


async def begun(pilot: Hand) -> CaseScreen:
    """A case with an axle family and a wet arc."""
    await press(pilot, "n")
    for key in ("1", "1", "question_mark"):
        await press(pilot, key)
    return await press(pilot, *"Tractor 17", "enter")


async def says(pilot: Hand, words: str) -> None:
    await until(pilot, lambda: words in " ".join(shown(pilot).split()))


async def test_an_audit_is_typed_in_a_row_corrected_and_written_down(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        case = await begun(pilot)
        name = case.sitting.name
        page = await measuring(pilot, "fasteners")
        await says(pilot, "CAUTION: Fasteners let go with a jerk. Pull, do not push; no pipe on the bar; keep the head")
        assert "Line before" in shown(pilot)
        await pilot.press("8", "enter", "enter", "enter")
        for value in RING[:6]:
            await pilot.press(*value, "enter")
        await says(pilot, "6 of 16 read; turns freely: 6 (over 99 %); has lost clamp: 5")
        assert "X5" in shown(pilot)
        await pilot.press(*"22x", "enter")
        await says(pilot, "Not taken: 'x' is not a known unit; write it as 225 lb-ft")
        assert page.field.value == "22x"
        await pilot.press("backspace", "backspace", "backspace", *RING[6], "enter", "up", "up")
        assert page.field.value == "0 lb-ft"
        await pilot.press("down", "down")
        for value in RING[7:]:
            await pilot.press(*value, "enter")
        await pilot.press(*"wrench 4", "enter", "enter")
        await says(pilot, "neighbours low together over 99 %")
        await says(pilot, "All lines are done. Enter writes it down")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(pilot.app.screen, CaseScreen))
        await asks(pilot)
        await says(pilot, "Changed: now not fit to drive")
        entry = case.sitting.interview.case.log[-1]
        assert isinstance(entry, Measurement)
        assert entry.readings == {"grade": "8", "audit": f"{' '.join(RING)} lb-ft"}
        assert entry.tool == "wrench 4"
        await press(pilot, "u")
        assert entry not in case.sitting.interview.case.standing
        await press(pilot, "y")
        kept = case.sitting.interview.case
    async with opened(tmp_path, case=name) as pilot:
        assert case_screen(pilot).sitting.interview.case == kept


async def test_what_is_half_typed_is_there_again_and_can_be_thrown_away(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        page = await measuring(pilot, "leak")
        await pilot.press("enter", *"12", "escape")
        assert page.focused is None
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(pilot.app.screen, CaseScreen))
        page = await measuring(pilot, "leak")
        assert page.line is not None
        assert (page.line.name, page.field.value) == ("drops", "12")
        await pilot.press("f6")
        await says(pilot, "Throw it away?")
        await pilot.press("y")
        await until(pilot, lambda: pilot.app.screen is page and page.field.value == "")
        assert page.typed == {}
        assert case_screen(pilot).sitting.interview.case.log == ()


async def test_a_page_left_while_it_is_written_down_is_shown_on_its_case(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        case = await press(pilot, "p")
        await measuring(pilot, "leak")
        await pilot.press("enter", *"12", "enter", *"10 min")
        turn, may_go_on = case.turn, Event()
        bench = case.sitting.bench.run(may_go_on.wait)  # what is written waits behind it
        waiting = asyncio.ensure_future(bench)
        await pilot.press("f4", "escape", "escape")
        await until(pilot, lambda: pilot.app.screen is case)
        await pilot.pause(0.2)
        assert case.sitting.interview.case.log == ()
        may_go_on.set()
        await waiting
        await until(pilot, lambda: case.turn != turn and case.question is not None)
        assert len(case.sitting.interview.case.log) == 1
        assert case.now is not None
        assert case.now.entries == 1
        await says(pilot, "Saved: 1. ")
        assert case.sitting.drafts.titles == ()


async def test_units_are_switched_anywhere_and_a_typed_one_wins(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        page = await measuring(pilot, "flatness housing")
        await pilot.press("enter", "enter", *"0.002", "enter", "f3", *"0.05", "enter", *"2 thou", "enter")
        assert [page.typed[place] for place in ("12", "1:30", "3")] == ["0.002 in", "0.05 mm", "2 thou"]
        assert "unit, if none is typed: mm" in shown(pilot)
        await pilot.press("f4")
        await says(pilot, "Not taken: A straight edge is laid at four places at least")
        assert pilot.app.screen is page


async def test_a_place_is_clicked_on_the_map_and_a_line_in_the_list(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(140, 40)) as pilot:
        case = await press(pilot, "p")
        await press(pilot, "t", *"1 arc 5-7", "enter")
        assert isinstance(case.sitting.interview.case.log[0], PlacesSeen)
        page = await measuring(pilot, "flatness carrier")
        await says(pilot, "~ wet")
        view = page.query_one(FlangeView)
        row, column = next((y, text.index("4:30")) for y, text in enumerate(view_rows(pilot, view)) if "4:30" in text)
        await pilot.click(view, offset=(column, row))
        assert page.line is not None
        assert page.line.name == "4:30"
        await pilot.press(*"0.004", "enter")
        await says(pilot, "o4:30 0.004")
        await pilot.click("#lines", offset=(3, 0))
        assert page.line.name == "way"


def view_rows(pilot: Hand, view: FlangeView) -> list[str]:
    """What stands in the map's part of the screen."""
    region = view.region
    rows = shown(pilot).split("\n")[region.y : region.y + region.height]
    return [row[region.x : region.x + region.width] for row in rows]


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 40)], ids=str)
async def test_field_map_and_finding_are_to_be_seen_at_any_size(size: tuple[int, int], tmp_path: Path) -> None:
    async with opened(tmp_path, size=size) as pilot:
        await begun(pilot)
        page = await measuring(pilot, "fasteners")
        await says(pilot, ".16")
        for id in ("#title", "#beware", "#map", "#lines", "#asked", "#entry", "#found"):
            region = page.query_one(id).region
            assert region.height > 0
            assert region.bottom <= size[1]
        assert "keep the head out of its swing" in " ".join(shown(pilot).split())
        on_map = " ".join(view_rows(pilot, page.query_one(FlangeView))).split()
        assert sorted(word for word in on_map if word[0] == ".") == sorted(f".{n}" for n in range(1, 17))


async def test_help_says_what_the_page_is_for_and_names_its_keys(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await measuring(pilot, "weld")
        await pilot.press("f1")
        await says(pilot, "Readings, one after the other. Type a number")
        await says(pilot, "F4 Write down")
        await pilot.press("escape")
        assert isinstance(pilot.app.screen, EntryScreen)
