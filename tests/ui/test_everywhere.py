"""Every page, key and dialog, taken from the table of actions and the kinds of screens, not from a hand list."""

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from itertools import cycle, product
from pathlib import Path
from typing import Any, get_args

import pytest
from textual.binding import Binding
from textual.geometry import Region
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, OptionList
from textual.widgets._footer import FooterKey

from leakdx.reasoning.unseat import Unseating
from leakdx.ui.actions import Where, actions_of
from leakdx.ui.screens.base import Dialog, Page
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.screens.home import HomeScreen
from leakdx.ui.screens.small import SmallScreen
from leakdx.ui.sitting import Sitting
from leakdx.ui.widgets.choice import Choice
from leakdx.ui.widgets.keylabel import KeyLabel
from tests.ui.driven import Hand, asks, calm, opened, shown, until
from tests.ui.fields import decided, to_case, under_repair
from tests.ui.monkey import writing_nothing
from tests.ui.ways import DIALOGS, WAYS, go

pytestmark = pytest.mark.asyncio

PAGES: tuple[Where, ...] = tuple(where for where in get_args(Where) if where != "anywhere")
SIZES = ((60, 20), (80, 24), (140, 40), (200, 60))
TOO_SMALL = ((20, 5), (59, 20), (60, 19))
"""Each page is tried at one of them in turn, the next page at the next: what says so is the same on all."""
ANYWHERE = {key for action in actions_of("anywhere") for key in action.keys.split(",")}
"""They do the same on every page."""
ENDS_THE_APP = {("home", "q")}
"""Pressed at home for some time."""


@asynccontextmanager
async def on_a_repair(folder: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Hand]:
    """A case on which a repair was decided; nothing is written into files."""
    id = under_repair(folder)
    async with writing_nothing(), opened(folder, size=size, case=id) as pilot:
        await decided(pilot)
        yield pilot


async def again(pilot: Hand, where: Where) -> Screen[object]:
    """The page of a kind, from wherever the hand is; what stands there then."""
    if isinstance(pilot.app.screen, HomeScreen):
        await pilot.press("enter")
        await asks(pilot)
    await to_case(pilot)
    await go(pilot, where)
    return pilot.app.screen


async def test_there_is_a_way_to_every_page_and_one_dialog_of_every_kind() -> None:
    assert set(WAYS) == set(PAGES)
    assert set(DIALOGS) == set(_kinds(Dialog))


def _kinds(kind: type[Dialog[Any]]) -> list[type[Dialog[Any]]]:
    below = [sub for sub in kind.__subclasses__() if sub.__module__.startswith("leakdx.")]
    return below + [deeper for sub in below for deeper in _kinds(sub)]


async def test_on_every_page_at_every_size_nothing_to_press_is_hidden_and_the_focus_is_seen(tmp_path: Path) -> None:
    async with on_a_repair(tmp_path) as pilot:
        for where, too_small in zip(WAYS, cycle(TOO_SMALL), strict=False):
            page = await again(pilot, where)
            for size in SIZES:
                await pilot.resize_terminal(*size)
                await pilot.pause()
                assert pilot.app.screen is page
                said = f"{where} at {size}"
                _all_seen(page, said)
            await _too_small_and_back(pilot, page, too_small, where)


def _all_seen(page: Screen[object], said: str) -> None:
    for widget in page.query("KeyLabel, Choice, FooterKey"):
        if widget.display and widget.region.area:
            assert _seen(widget) == widget.region, f"{said}: {widget} is cut"
    if isinstance(page, Page) and page.where not in ("home", "case"):
        (back,) = (label for label in page.query(KeyLabel) if label.action == "back")
        assert back.region.area, said
    bar = page.query(FooterKey)
    for widget in bar:
        assert widget.region.area, f"{said}: {widget} is not shown"
    focused = page.focused
    if focused is not None:
        assert _seen(focused).area, f"{said}: the focus is on {focused}, which is not seen"
    for rows in page.query(OptionList):
        if rows.display and rows.option_count:
            assert _seen(rows).height >= min(rows.option_count, 2), f"{said}: {rows} has no room"


def _seen(widget: Widget) -> Region:
    """The part of a widget that can be seen."""
    seen = widget.region.intersection(widget.screen.region)
    for above in widget.ancestors:
        if isinstance(above, Widget):
            seen = seen.intersection(above.region)
    return seen


async def _too_small_and_back(pilot: Hand, page: Screen[object], size: tuple[int, int], where: Where) -> None:
    """At the exact edge it says so, and everything stands as it stood once there is room."""
    await pilot.resize_terminal(60, 20)
    await calm(pilot)
    stood, words = [*_state(page)], [line.split() for line in shown(pilot).splitlines() if line.split()]
    await pilot.resize_terminal(*size)
    await until(pilot, lambda: isinstance(pilot.app.screen, SmallScreen))
    assert "60 columns" in " ".join(shown(pilot).split()), (where, size)
    await pilot.resize_terminal(60, 20)
    await until(pilot, lambda: pilot.app.screen is page)
    assert [*_state(page)] == stood, (where, size)
    assert [line.split() for line in shown(pilot).splitlines() if line.split()] == words, where


def _state(page: Screen[object]) -> Iterator[object]:
    """What a hand has brought about on a page and would miss."""
    yield page.focused
    yield from (field.value for field in page.query(Input))
    yield from (rows.highlighted for rows in page.query(OptionList))


async def test_every_key_pressed_twice_opens_one_thing_and_the_case_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What takes seconds to work out is tested elsewhere; here it is the keys."""

    async def said(*_: object) -> str:
        return "as sure as that"

    monkeypatch.setattr("leakdx.ui.sitting.unseating", lambda *_: Unseating((), (), 0))
    monkeypatch.setattr(Sitting, "how_sure", said)
    async with on_a_repair(tmp_path) as pilot:
        for where in WAYS:
            page = await again(pilot, where)
            for key in _keys(page, where):
                if (where, key) in ENDS_THE_APP:
                    continue
                if pilot.app.screen is not page:
                    page = await again(pilot, where)
                if isinstance(page.focused, Input):
                    page.set_focus(None)  # a letter is a key there, not a letter
                pilot.app.simulate_key(key)
                pilot.app.simulate_key(key)
                await calm(pilot)
                assert pilot.app.is_running, (where, key)
                kinds = [(type(screen), getattr(screen, "title_text", "")) for screen in pilot.app.screen_stack]
                assert len(kinds) == len(set(kinds)), f"{key} on {where}: {kinds}"
                await _back(pilot, page)
        await to_case(pilot) if not isinstance(pilot.app.screen, HomeScreen) else await again(pilot, "case")


def _keys(page: Screen[object], where: Where) -> list[str]:
    """Every key that does something there."""
    own = [key for binding in type(page).BINDINGS if isinstance(binding, Binding) for key in binding.key.split(",")]
    table = [key for action in actions_of(where) for key in action.keys.split(",")]
    return [key for key in dict.fromkeys([*table, *own]) if where == "case" or key not in ANYWHERE]


async def _back(pilot: Hand, page: Screen[object]) -> None:
    """Out of what the keys have opened over a page, where it still stands."""
    while page in pilot.app.screen_stack and pilot.app.screen is not page:
        await pilot.press("escape")
        await calm(pilot)


async def test_every_dialog_over_every_other_goes_alone_and_the_one_below_stands_again(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await pilot.press("p")
        case = await asks(pilot)
        for below, above in product(DIALOGS.values(), repeat=2):
            told: list[object] = []
            first, second = below(), above()
            pair = f"{type(second).__name__} over {type(first).__name__}"
            await pilot.app.push_screen(first, told.append)
            await pilot.app.push_screen(second, told.append)
            first.dismiss("taken away from below")
            await pilot.pause()
            assert pilot.app.screen is second, pair
            second.dismiss(None)
            second.dismiss(None)
            await until(pilot, lambda first=first: pilot.app.screen is first)  # type: ignore[misc]
            first.dismiss("taken")
            first.dismiss("taken")
            await until(pilot, lambda: isinstance(pilot.app.screen, CaseScreen))
            assert told == [None, "taken"], pair
        assert pilot.app.screen is case
        assert not case.query(Choice)
