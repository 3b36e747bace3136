"""The ring is counted through at the screen: by key and by click, one back, and a whole pass is on file."""

from pathlib import Path

import pytest

from leakdx.case import Record
from leakdx.explain.fastening import ring_of
from leakdx.ui.screens.tighten import TightenScreen
from leakdx.ui.widgets.keylabel import KeyLabel
from tests.shipped import knowledge
from tests.ui.driven import case_screen, opened, press, shown, until

pytestmark = pytest.mark.asyncio


async def test_a_pass_is_counted_and_saved_when_it_is_whole(tmp_path: Path) -> None:
    ring = ring_of(knowledge(), None, "4 dowels 3")
    async with opened(tmp_path) as pilot:
        case = await press(pilot, "p")
        page = TightenScreen(case, ring, 0)
        pilot.app.push_screen(page)
        await until(pilot, lambda: "Pass 1 of 4, 1 of 4: fastener 3 (dowel, 6 o'clock)" in shown(pilot))
        await pilot.press("enter", "enter", "backspace")
        assert page.place == 1
        label = next(label for label in page.query(KeyLabel) if label.action == "tight")
        for _ in range(3):
            await pilot.click(label)
        await until(pilot, lambda: "Pass 2 of 4, 1 of 4" in shown(pilot))
        records = [e.text for e in case_screen(pilot).sitting.interview.case.standing if isinstance(e, Record)]
        assert records == [ring.pass_words(0)]
        await pilot.press("escape")
        pilot.app.push_screen(TightenScreen(case, ring, 4))
        await until(pilot, lambda: "Every pass is done" in shown(pilot))
