"""Draws the screen at two sizes, dark and for sunlight, as ``make.py`` beside it does too. Needs the test extras."""

import asyncio
import re
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent.parent))

from textual.widgets import Input  # noqa: E402

from leakdx.store.casefile import read_case  # noqa: E402
from leakdx.store.database.casestore import open_store  # noqa: E402
from tests.shipped import FILES, knowledge  # noqa: E402
from tests.ui.driven import Hand, asks, opened, settled  # noqa: E402
from tests.ui.snapshots import FROM_CASE, FROM_REPAIR, UNDER_REPAIR, under_repair, walked  # noqa: E402

SIZES = ((80, 24), (140, 40))
CASE = "02"
SCREENS = ("case", "causes", "ledger", "search", "paths")
"""What is drawn of a case, beside all that is drawn of one under repair."""
_FONTS = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)


async def draw() -> None:
    """Write screen-NAME-SIZE-LOOK.svg for each."""
    for size in SIZES:
        for look in ("dark", "sunlight"):
            await _draw(size, look)


async def _draw(size: tuple[int, int], look: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(f"sqlite:///{folder}/cases.db")
        for file in FILES[:4]:
            store.begin(read_case(file, knowledge()))
        async with opened(Path(folder), size=size) as pilot:
            if look == "sunlight":
                await pilot.press("f2")
            await _save(pilot, "home", size, look)
        case = read_case(next(file for file in FILES if file.stem.startswith(CASE)), knowledge())
        store.begin(under_repair(case))
        for id, ways in ((case.id, {name: FROM_CASE[name] for name in SCREENS}), (UNDER_REPAIR, FROM_REPAIR)):
            async with opened(Path(folder), size=size, case=id) as pilot:
                if look == "sunlight":
                    await pilot.press("f2")
                screen = await asks(pilot)
                async for name in walked(pilot, screen, ways):
                    await _save(pilot, name, size, look)


async def _save(pilot: Hand, name: str, size: tuple[int, int], look: str) -> None:
    for field in pilot.app.screen.query(Input):
        field.cursor_blink = False  # else a picture has a cursor or none, as it is caught
    await settled(pilot)
    svg = _FONTS.sub("", pilot.app.export_screenshot(title="leakdx")).replace("Fira Code", "DejaVu Sans Mono")
    (HERE / f"screen-{name}-{size[0]}x{size[1]}-{look}.svg").write_text(svg)


if __name__ == "__main__":
    asyncio.run(draw())
