"""Over ssh nothing moves by itself: each picture of a movement would go over the line."""

from pathlib import Path

import pytest

from leakdx.ui.animation import OVER_SSH
from leakdx.ui.widgets.field import Field
from tests.ui.driven import opened

pytestmark = pytest.mark.asyncio


@pytest.mark.parametrize("variable", ["", *OVER_SSH])
async def test_over_ssh_nothing_moves_and_no_cursor_blinks(
    variable: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in OVER_SSH:
        monkeypatch.delenv(name, raising=False)
    if variable:
        monkeypatch.setenv(variable, "10.0.0.5 50022 10.0.0.9 22")
    async with opened(tmp_path) as pilot:
        await pilot.press("slash")
        field = pilot.app.focused
        assert isinstance(field, Field)
        assert (pilot.app.animation_level == "none") == bool(variable)
        assert field.cursor_blink != bool(variable)
