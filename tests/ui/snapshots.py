"""What stands on each screen, as text, kept under tests/ui/shown/: ``python -m tests.ui.snapshots`` writes it anew.

Look at the difference before it is committed: it is what a technician sees.
"""

import asyncio
import tempfile
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from datetime import datetime
from pathlib import Path

from msgspec import structs

from leakdx.case import Case
from leakdx.interview.repairing import Repairing
from leakdx.interview.session import Interview
from leakdx.store.casefile import read_case
from leakdx.store.database.casestore import open_store
from leakdx.store.home import Unkept
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.nextshift import NextShiftScreen
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.screens.tighten import TightenScreen
from tests.shipped import FILES, knowledge
from tests.ui.driven import Hand, asks, comes, opened, settled, until
from tests.ui.fields import FIELDS, measuring

FOLDER = Path(__file__).parent / "shown"
SIZES = {"60x20": (60, 20), "80x24": (80, 24), "140x40": (140, 40)}
Way = Callable[[Hand], Awaitable[None]]


async def here(pilot: Hand) -> None:
    """Nowhere: the case itself."""


def by(*keys: str) -> Way:
    """By keys, to whatever stands over the case then."""

    async def go(pilot: Hand) -> None:
        await pilot.press(*keys)
        await until(pilot, lambda: not isinstance(pilot.app.screen, CaseScreen))

    return go


FROM_CASE: dict[str, Way] = {
    "case": here,
    "causes": by("c"),
    "others": by("o"),
    "search": by("s", *"bolt"),
    "ledger": by("l"),
    "holds": by("h"),
    "why": by("w"),
    "paths": by("r"),
    "help": by("f1"),
}
ONLY_AT_80 = {"others", "search", "holds", "why", "help", "repair", "next-shift", "order"}
NOT_AT_60 = {"measuring"}
UNDER_REPAIR = "KD-0402-repair"
CASE = next(file for file in FILES if file.stem.startswith("02"))
ON_REPAIR_AT = datetime(2026, 4, 15, 7, 30)
STEPS_DONE = 3


async def taken(size: str) -> AsyncIterator[tuple[str, str]]:
    """(name, text) of each screen of one size."""
    case = read_case(CASE, knowledge())
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(f"sqlite:///{folder}/cases.db")
        store.begin(case)
        async with opened(Path(folder), size=SIZES[size]) as pilot:
            yield f"home-{size}", _text(await settled(pilot))
            await pilot.press("enter")
            screen = await asks(pilot)
            async for name in walked(pilot, screen, {n: way for n, way in FROM_CASE.items() if _is_wanted(n, size)}):
                yield f"{name}-{size}", _text(await settled(pilot))
        store.begin(under_repair(case))
        async with opened(Path(folder), size=SIZES[size], case=UNDER_REPAIR) as pilot:
            screen = await asks(pilot)
            async for name in walked(pilot, screen, {n: way for n, way in FROM_REPAIR.items() if _is_wanted(n, size)}):
                yield f"{name}-{size}", _text(await settled(pilot))


async def walked(pilot: Hand, screen: CaseScreen, ways: Mapping[str, Way]) -> AsyncIterator[str]:
    """The name of each way, gone from the case and not yet back."""
    for name, way in ways.items():
        if way is not here:
            screen.set_focus(None)  # letters are keys, also where the question has a field
        await way(pilot)
        yield name
        while pilot.app.screen is not screen:
            await pilot.press("escape")


def _is_wanted(name: str, size: str) -> bool:
    return size == "80x24" or name not in (ONLY_AT_80 | NOT_AT_60 if size == "60x20" else ONLY_AT_80)


def under_repair(case: Case) -> Case:
    """The case with its best repair decided on and its first steps done, at a time that does not pass."""
    interview = Interview(knowledge(), Unkept(case), "EF", now=lambda: ON_REPAIR_AT)
    repairing = Repairing(interview)
    repairing.decide(interview.diagnosis.repairs[0].actions, "holds best in the long run")
    course = repairing.course()
    assert course is not None
    for step in course.steps[:STEPS_DONE]:
        repairing.tick(step.number)
        if step.step.hold:
            repairing.sign(step.number, "GH lamp 2")
    return structs.replace(interview.case, id=UNDER_REPAIR)


async def _measuring(pilot: Hand) -> None:
    """A face that is half read."""
    await measuring(pilot, "flatness housing")
    await pilot.press("enter", "enter")
    for reading in ("0.001", "0.002", "0.006", "0.004"):
        await pilot.press(*reading, "enter")


async def _repair(pilot: Hand) -> None:
    await pilot.press("r")
    await comes(pilot, RepairScreen)


async def _order(pilot: Hand) -> None:
    """A ring of which three are tight."""
    await FIELDS["repair._tighten"](pilot)
    await comes(pilot, LineScreen)
    await pilot.press("ctrl+u", *"16 dowels 3 11", "enter")
    await comes(pilot, TightenScreen)
    await pilot.press("enter", "enter", "enter")


async def _next_shift(pilot: Hand) -> None:
    await pilot.press("g")
    await comes(pilot, NextShiftScreen)


FROM_REPAIR: dict[str, Way] = {
    "repair": _repair,
    "order": _order,
    "next-shift": _next_shift,
    "measuring": _measuring,
}


def _text(screen: str) -> str:
    return "\n".join(line.rstrip() for line in screen.splitlines()) + "\n"


async def _write() -> None:
    FOLDER.mkdir(exist_ok=True)
    for size in SIZES:
        async for name, text in taken(size):
            (FOLDER / f"{name}.txt").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    asyncio.run(_write())
