"""Both looks can be read: the one for bright light with more contrast than any text needs."""

from pathlib import Path

import pytest
from textual.color import Color
from textual.theme import Theme

from leakdx.ui.themes import DARK, SUNLIGHT
from tests.ui.driven import opened

LEAST = 7.0
"""The contrast of the enhanced level of the Web Content Accessibility Guidelines 2.2, 1.4.6."""


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, as those guidelines define it."""
    light, dark = sorted((_luminance(Color.parse(one)), _luminance(Color.parse(other))), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(color: Color) -> float:
    parts = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in color.normalized)
    return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), parts, strict=True))


@pytest.mark.parametrize("theme", [DARK, SUNLIGHT], ids=lambda theme: theme.name)
def test_words_stand_out_from_what_they_stand_on(theme: Theme) -> None:
    for ground in (theme.background, theme.surface, theme.panel):
        assert contrast(theme.foreground or "", ground or "") >= LEAST
    for ground in (theme.primary, theme.warning, theme.error):  # with the ground's colour as the letters'
        assert contrast(theme.background or "", ground or "") >= LEAST


@pytest.mark.asyncio
async def test_a_key_goes_from_one_look_to_the_other_and_back(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        looks = [pilot.app.theme]
        for _ in range(2):
            await pilot.press("f2")
            looks.append(pilot.app.theme)
        assert looks == [DARK.name, SUNLIGHT.name, DARK.name]
