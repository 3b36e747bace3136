"""The way from a case on which a repair was decided to every page of the screen, and one dialog of every kind."""

from collections.abc import Awaitable, Callable
from typing import Any

from textual.screen import Screen

from leakdx.ui.actions import Where, actions_of
from leakdx.ui.screens.base import Dialog
from leakdx.ui.screens.causes import CausesScreen
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.help import HelpScreen
from leakdx.ui.screens.keys import KeysScreen
from leakdx.ui.screens.ledger import LedgerScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.measure import MeasureScreen
from leakdx.ui.screens.nextshift import NextShiftScreen
from leakdx.ui.screens.others import OthersScreen
from leakdx.ui.screens.paths import PathsScreen
from leakdx.ui.screens.pick import PickScreen
from leakdx.ui.screens.reasons import ReasonPage
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.screens.saw import SawScreen
from leakdx.ui.screens.small import SmallScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.screens.tighten import TightenScreen
from tests.ui.driven import Hand, calm, comes, is_home, until
from tests.ui.fields import keys, measuring


async def _home(pilot: Hand) -> None:
    await pilot.press("escape")
    await until(pilot, lambda: is_home(pilot.app))


async def _entry(pilot: Hand) -> None:
    await measuring(pilot, "flatness housing")


async def _tighten(pilot: Hand) -> None:
    await keys(("r", RepairScreen), ("o", LineScreen))(pilot)
    await pilot.press(*["backspace"] * 40, *"16 dowels 3 11", "enter")
    await comes(pilot, TightenScreen)


WAYS: dict[Where, Callable[[Hand], Awaitable[None]]] = {
    "case": keys(),
    "text": keys(("v", TextPage)),
    "reasons": keys(("w", ReasonPage)),
    "causes": keys(("c", CausesScreen)),
    "ledger": keys(("l", LedgerScreen)),
    "others": keys(("o", OthersScreen)),
    "saw": keys(("s", SawScreen)),
    "paths": keys(("r", RepairScreen), ("c", PathsScreen)),
    "repair": keys(("r", RepairScreen)),
    "nextshift": keys(("g", NextShiftScreen)),
    "tighten": _tighten,
    "measure": keys(("m", MeasureScreen)),
    "entry": _entry,
    "home": _home,
}
"""Kind of page -> the way there; the one that leaves the case stands last."""

DIALOGS: dict[type[Dialog[Any]], Callable[[], Dialog[Any]]] = {
    HelpScreen: lambda: HelpScreen(Screen()),
    KeysScreen: lambda: KeysScreen(actions_of("case")),
    LineScreen: lambda: LineScreen("Which line?", "Such as: one"),
    PickScreen: lambda: PickScreen("Which one?", (("a", "the first"), ("b", "the second"))),
    ConfirmScreen: lambda: ConfirmScreen("Something stands against it.", "Was it done?"),
    SmallScreen: lambda: SmallScreen(60, 20),
}
"""Kind of dialog -> one of it."""


async def go(pilot: Hand, where: Where) -> None:
    """From the case to a page, until everything on it has come."""
    await WAYS[where](pilot)
    await calm(pilot)
