"""Every field of the screen and the way to it from a case under repair; found in the source, so that none is missed."""

import ast
from collections.abc import Awaitable, Callable, Iterator
from pathlib import Path

from msgspec import structs
from textual.widgets import Input

import leakdx.ui
from leakdx.interview.measuring.form import TOOL
from leakdx.store.database.casestore import open_store
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.entry import EntryScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.measure import MeasureScreen
from leakdx.ui.screens.nextshift import NextShiftScreen
from leakdx.ui.screens.paths import PathsScreen
from leakdx.ui.screens.pick import PickScreen
from leakdx.ui.screens.reasons import ReasonPage
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.widgets.field import Field
from leakdx.ui.widgets.pathcard import Card
from tests.shipped import diagnosis
from tests.ui.driven import Hand, asks, case_screen, comes, is_home, until
from tests.ui.repairs import choose, free

ID = "under-repair"
_MAKES_ONE = {"Field", "EntryField", "LineScreen", "Input"}


def in_the_source() -> set[str]:
    """Each place of leakdx/ui that makes a field: "module.function"; the one within LineScreen is its callers'."""
    found = set[str]()
    for path in Path(leakdx.ui.__path__[0]).rglob("*.py"):
        for function in _functions(ast.parse(path.read_text(encoding="utf-8"))):
            calls = (node.func for node in ast.walk(function) if isinstance(node, ast.Call))
            if any(isinstance(call, ast.Name) and call.id in _MAKES_ONE for call in calls):
                found.add(f"{path.stem}.{function.name}")
    return found - {"line.compose"}


def _functions(tree: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))


def under_repair(folder: Path) -> str:
    """A shipped case in the store that the screen is opened on, ready to be repaired; its id."""
    case = diagnosis("14").case
    open_store(f"sqlite:///{folder / 'cases.db'}").begin(structs.replace(case, id=ID))
    return ID


async def decided(pilot: Hand) -> None:
    """Decide on the first path, and come back to the case."""
    await free(pilot, await choose(pilot, mouse=False))
    await to_case(pilot)


async def to_case(pilot: Hand) -> CaseScreen:
    """Back to the case, out of every field."""
    while not isinstance(pilot.app.screen, CaseScreen) or isinstance(pilot.app.focused, Input):
        await pilot.press("escape")
        await pilot.pause()
    return await asks(pilot)


async def field_of(pilot: Hand, name: str) -> Field:
    """Go from the case to a field; what stands there."""
    await FIELDS[name](pilot)
    await until(pilot, lambda: isinstance(pilot.app.focused, Input))
    field = pilot.app.focused
    assert isinstance(field, Field), f"{name}: every field has to be a Field, which lets nothing through that acts"
    return field


def keys(*steps: tuple[str, type[object] | None]) -> Callable[[Hand], Awaitable[None]]:
    """Press a key, wait for the screen that it opens, and so on."""

    async def go(pilot: Hand) -> None:
        for key, opens in steps:
            await pilot.press(key)
            if opens is not None:
                await comes(pilot, opens)

    return go


async def _who(pilot: Hand) -> None:
    await _home(pilot)
    pilot.app.who = ""  # type: ignore[attr-defined]
    await pilot.press("p")


async def _find(pilot: Hand) -> None:
    await _home(pilot)
    await pilot.press("slash")


async def _home(pilot: Hand) -> None:
    await pilot.press("escape")
    await until(pilot, lambda: is_home(pilot.app))


async def _why_this_one(pilot: Hand) -> None:
    await pilot.press("r")
    await comes(pilot, RepairScreen)
    await pilot.press("c")
    await until(pilot, lambda: isinstance(pilot.app.screen, PathsScreen) and bool(pilot.app.screen.query(Card)))
    await pilot.press("1")
    await until(pilot, lambda: isinstance(pilot.app.screen, LineScreen | ConfirmScreen))
    if isinstance(pilot.app.screen, ConfirmScreen):
        await pilot.press("y")


async def _sign(pilot: Hand) -> None:
    """To the first hold, with every step before it ticked."""
    await pilot.press("r")
    await comes(pilot, RepairScreen)
    screen = repair(pilot)
    while not isinstance(pilot.app.screen, LineScreen):
        mine = screen.course.next
        await pilot.press("s" if mine is not None and mine.done is not None else "enter")
        await until(pilot, lambda: pilot.app.screen is not screen or not screen.is_busy)
        if isinstance(pilot.app.screen, ConfirmScreen):
            await pilot.press("y")
            await until(pilot, lambda: isinstance(pilot.app.screen, LineScreen) or not screen.is_busy)


def repair(pilot: Hand) -> RepairScreen:
    """The repair that is open, whatever stands over it."""
    return next(screen for screen in pilot.app.screen_stack if isinstance(screen, RepairScreen))


async def measuring(pilot: Hand, key: str) -> EntryScreen:
    """The page of a measurement, chosen from the list."""
    await pilot.press("m")
    await until(pilot, lambda: isinstance(pilot.app.screen, MeasureScreen) and pilot.app.screen.marked is not None)
    offers = await case_screen(pilot).sitting.measuring.offered()
    await pilot.press("home", *["down"] * [offer.key for offer in offers].index(key), "enter")
    await comes(pilot, EntryScreen)
    screen = pilot.app.screen
    assert isinstance(screen, EntryScreen)
    return screen


async def _tool(pilot: Hand) -> None:
    """To the line for the tool of a measurement."""
    screen = await measuring(pilot, "leak")
    while screen.line is None or screen.line.name != TOOL:
        await pilot.press("down")


async def _text(pilot: Hand) -> None:
    await pilot.press("v")
    await until(pilot, lambda: isinstance(pilot.app.screen, TextPage) and bool(pilot.app.screen.text))
    await pilot.press("f")


FIELDS: dict[str, Callable[[Hand], Awaitable[None]]] = {
    "answers.compose": keys(("t", None)),
    "case.action_note": keys(("a", LineScreen)),
    "entry.compose": _tool,
    "handover.hand_over": keys(("p", PickScreen), ("1", LineScreen)),
    "keys.compose": keys(("k", None)),
    "nextshift.action_note": keys(("g", NextShiftScreen), ("a", LineScreen)),
    "reasons.action_try": keys(("w", ReasonPage), ("t", LineScreen)),
    "repair._recheck": keys(("r", RepairScreen), ("r", PickScreen), ("1", LineScreen)),
    "repair._sealant": keys(("r", RepairScreen), ("t", LineScreen)),
    "repair._signed": _sign,
    "repair._tighten": keys(("r", RepairScreen), ("o", LineScreen)),
    "saw.compose": keys(("s", None)),
    "textpage.action_file": _text,
    "paths._reason": _why_this_one,
    "home.compose": _find,
    "app._open": _who,
}
"""Place in the source -> the way there from a case on which a repair was decided. """
KEPT_NOT = {"handover.hand_over", "keys.compose", "reasons.action_try", "saw.compose", "textpage.action_file",
            "home.compose", "app._open"}  # fmt: skip
"""Fields whose words are no part of a case: what is looked for, tried, or named as a file."""
LEAVES_THE_CASE = {"home.compose", "app._open"}
