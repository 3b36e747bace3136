"""What stands on each screen, as text, kept under tests/ui/shown/: ``python -m tests.ui.snapshots`` writes it anew.

Look at the difference before it is committed: it is what a technician sees.
"""

import asyncio
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path

from tests.shipped import FILES, knowledge
from tests.ui.driven import asks, opened, settled, until

FOLDER = Path(__file__).parent / "shown"
SIZES = {"60x20": (60, 20), "80x24": (80, 24), "140x40": (140, 40)}
FROM_CASE: dict[str, tuple[str, ...]] = {
    "case": (),
    "causes": ("c",),
    "others": ("o",),
    "search": ("s", *"bolt"),
    "ledger": ("l",),
    "holds": ("h",),
    "why": ("w",),
    "paths": ("r",),
    "help": ("f1",),
}
ONLY_AT_80 = {"others", "search", "holds", "why", "help"}
CASE = next(file for file in FILES if file.stem.startswith("02"))


async def taken(size: str) -> AsyncIterator[tuple[str, str]]:
    """(name, text) of each screen of one size."""
    from leakdx.store.casefile import read_case
    from leakdx.store.database.casestore import open_store

    with tempfile.TemporaryDirectory() as folder:
        case = read_case(CASE, knowledge())
        open_store(f"sqlite:///{folder}/cases.db").begin(case)
        async with opened(Path(folder), size=SIZES[size]) as pilot:
            yield f"home-{size}", _text(await settled(pilot))
            await pilot.press("enter")
            screen = await asks(pilot)
            for name, keys in FROM_CASE.items():
                if name in ONLY_AT_80 and size != "80x24":
                    continue
                await pilot.press(*keys)
                await until(pilot, lambda k=keys: not k or pilot.app.screen is not screen)  # type: ignore[misc]
                yield f"{name}-{size}", _text(await settled(pilot))
                while pilot.app.screen is not screen:
                    await pilot.press("escape")


def _text(screen: str) -> str:
    return "\n".join(line.rstrip() for line in screen.splitlines()) + "\n"


async def _write() -> None:
    FOLDER.mkdir(exist_ok=True)
    for size in SIZES:
        async for name, text in taken(size):
            (FOLDER / f"{name}.txt").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    asyncio.run(_write())
