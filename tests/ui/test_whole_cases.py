"""Whole cases at the screen, from nothing to signed off: what stands in the store diagnoses as the screen said."""

import json
import os
from pathlib import Path

import pytest

from leakdx.cli import main
from leakdx.store.database.casestore import open_store
from leakdx.ui.screens.home import HomeScreen
from tests.shipped import knowledge
from tests.ui.driven import asks, opened, press, shown, until
from tests.ui.repairs import click_words, signed_off
from tests.ui.stories import FOUR, TWELVE, Story, told

pytestmark = pytest.mark.asyncio

ALL = "LEAKDX_WHOLE_CASES"
"""Set to 1: all twelve, each both ways; they take minutes."""
WAYS = [(name, mouse) for name in TWELVE for mouse in (False, True)] if os.environ.get(ALL) else [
    (name, place % 2 == 1) for place, name in enumerate(FOUR)
]  # fmt: skip


@pytest.mark.parametrize(("name", "mouse"), WAYS, ids=lambda way: str(way))
async def test_a_whole_case(name: str, mouse: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    async with opened(tmp_path, size=(100, 30)) as pilot:
        if mouse:
            await pilot.click("#begin KeyLabel")
            await asks(pilot)
        else:
            await press(pilot, "n")
        asked = await told(pilot, Story(name), mouse=mouse)
        assert len(asked) > 5
        done = await signed_off(pilot, mouse=mouse)
        assert all(step.is_over for step in done.course.steps)
        assert "Closed: held" in shown(pilot)
        await (click_words(pilot, "Esc back") if mouse else pilot.press("escape"))
        screen = await asks(pilot)
        now, id = screen.now, screen.sitting.name
        await (click_words(pilot, "Esc cases") if mouse else pilot.press("q"))
        await until(pilot, lambda: isinstance(pilot.app.screen, HomeScreen))
    kept = open_store(f"sqlite:///{tmp_path / 'cases.db'}").case(id, knowledge())
    assert kept.closed == "held"
    capsys.readouterr()
    assert main(["diagnose", id, "--store", f"sqlite:///{tmp_path / 'cases.db'}", "--json"]) == 0
    answers = json.loads(capsys.readouterr().out)
    assert now is not None
    assert [(c["id"], c["leaking_first"]) for c in answers["causes"]] == [(c.id, c.chance) for c in now.causes]
    assert answers["fit_to_drive"]["answer"] == now.fit
    assert [hold["text"] for hold in answers["holds"]] == [hold.text for hold in now.holds]
