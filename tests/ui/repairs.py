"""A repair at the screen from the choice of a path to a case that is signed off, by keyboard or by mouse.

By mouse everything is clicked where it is seen; only words that someone has to write, such as initials, are typed.
"""

from textual.widgets import OptionList

from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.paths import PathsScreen
from leakdx.ui.screens.pick import PickScreen
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.widgets.choice import Choice
from leakdx.ui.widgets.keylabel import KeyLabel
from leakdx.ui.widgets.pathcard import Card, CardHead
from leakdx.ui.widgets.plain import Plain
from tests.ui.driven import Hand, comes, shown, until

INITIALS = "CD"


async def signed_off(pilot: Hand, *, mouse: bool) -> RepairScreen:
    """From a case that has nothing more to ask to its end: repaired, looked at again, closed."""
    screen = await choose(pilot, mouse=mouse)
    while screen.course.next is not None:
        await tick(pilot, screen, mouse=mouse)
    await _press(pilot, "enter", "Look again", mouse=mouse)
    await pick(pilot, 1, mouse=mouse)
    await write(pilot, "after 500 miles, hot", mouse=mouse)
    await free(pilot, screen)
    await _press(pilot, "e", "Outcome: how did it end?", mouse=mouse)
    await pick(pilot, 1, mouse=mouse)
    await until(pilot, lambda: isinstance(pilot.app.screen, ConfirmScreen) or not screen.is_busy)
    if isinstance(pilot.app.screen, ConfirmScreen):
        await yes(pilot, mouse=mouse)
    await free(pilot, screen)
    return screen


async def choose(pilot: Hand, *, mouse: bool) -> RepairScreen:
    """From the case to the steps of the first path that repairs something, for the usual reason."""
    if mouse:
        (label,) = (label for label in pilot.app.screen.query(KeyLabel) if label.action == "repair")
        await pilot.click(label)
    else:
        await pilot.press("r")
    await until(pilot, lambda: isinstance(pilot.app.screen, PathsScreen) and bool(pilot.app.screen.query(Card)))
    cards = list(pilot.app.screen.query(Card))
    number = next(n for n, card in enumerate(cards, start=1) if card.card.path.actions)
    await (pilot.click(cards[number - 1].query_one(CardHead)) if mouse else pilot.press(str(number)))
    await until(pilot, lambda: isinstance(pilot.app.screen, LineScreen | ConfirmScreen))
    if isinstance(pilot.app.screen, ConfirmScreen):
        await yes(pilot, mouse=mouse)
        await comes(pilot, LineScreen)
    await _choice(pilot, "Enter", "enter", mouse=mouse)
    await comes(pilot, RepairScreen)
    assert isinstance(pilot.app.screen, RepairScreen)
    return pilot.app.screen


async def tick(pilot: Hand, screen: RepairScreen, *, mouse: bool) -> None:
    """Do the next step: tick it, say yes to what stands before it, and sign where it holds."""
    step = screen.course.next
    assert step is not None
    if step.done is None:
        await _press(pilot, "enter", f"[ ] {step.number}", mouse=mouse)
        await until(pilot, lambda: pilot.app.screen is not screen or not screen.is_busy)
        if isinstance(pilot.app.screen, ConfirmScreen):
            await yes(pilot, mouse=mouse)
    if step.step.hold:
        await write(pilot, INITIALS, mouse=mouse)
    await free(pilot, screen)


async def yes(pilot: Hand, *, mouse: bool) -> None:
    """Say yes to what is asked back."""
    await comes(pilot, ConfirmScreen)
    await _choice(pilot, "y", "y", mouse=mouse)


async def write(pilot: Hand, words: str, *, mouse: bool) -> None:
    """Type words into the field that stands there, and take them."""
    await comes(pilot, LineScreen)
    await pilot.press(*words)
    await _choice(pilot, "Enter", "enter", mouse=mouse)


async def pick(pilot: Hand, number: int, *, mouse: bool) -> None:
    """Take one of a few words."""
    await comes(pilot, PickScreen)
    if mouse:
        await pilot.click(pilot.app.screen.query_one(OptionList), offset=(4, number - 1))
    else:
        await pilot.press(str(number))


async def free(pilot: Hand, screen: RepairScreen) -> None:
    """Wait until nothing is under way on the steps."""
    await until(pilot, lambda: pilot.app.screen is screen and not screen.is_busy)


async def click_words(pilot: Hand, words: str) -> None:
    """Click where these words are seen."""
    for y, line in enumerate(shown(pilot).splitlines()):
        if words in line:
            await pilot.click(offset=(line.index(words), y))
            return
    raise AssertionError(f"{words!r} is not seen in\n{shown(pilot)}")


async def _press(pilot: Hand, key: str, words: str, *, mouse: bool) -> None:
    await (click_words(pilot, words) if mouse else pilot.press(key))


async def _choice(pilot: Hand, words: str, key: str, *, mouse: bool) -> None:
    """One of the ways on of a dialog."""
    if not mouse:
        await pilot.press(key)
        return
    await until(pilot, lambda: bool(pilot.app.screen.query(Choice)))
    (choice,) = (c for c in pilot.app.screen.query(Choice) if _text(c).startswith(f"{words} "))
    await pilot.click(choice)


def _text(shown: Plain) -> str:
    return str(shown.content)
