"""The app: its looks, its first screen, and from which screen to which."""

from pathlib import PurePath
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import App
from textual.binding import BindingType
from textual.events import Resize
from textual.notifications import SeverityLevel
from textual.scrollbar import ScrollBar, ScrollBarRender

from leakdx.clean import clean
from leakdx.errors import LeakdxError
from leakdx.ui.actions import Action, actions_of, bindings_of
from leakdx.ui.animation import is_far
from leakdx.ui.bench import Bench
from leakdx.ui.given import Given
from leakdx.ui.marks import PlainBars, plain_marks
from leakdx.ui.screens.base import Page
from leakdx.ui.screens.home import HomeScreen
from leakdx.ui.themes import DARK, SUNLIGHT

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Mapping

    from textual.actions import ActionParseResult
    from textual.dom import DOMNode

    from leakdx.ui.sitting import Sitting

FEWEST_COLUMNS, FEWEST_ROWS = 60, 20
USUAL_COLUMNS, USUAL_ROWS = 80, 24
TALL, WIDE = 34, 120
"""Rows from which nothing has to be cut to one line; columns from which the causes stand beside the question."""
LONGEST_SAID = 300
"""Letters of a sentence over the screen: it leaves room for what it is about."""
STYLES: list[str | PurePath] = [
    f"styles/{name}.tcss" for name in ("looks", "home", "case", "lists", "measure", "repair", "small")
]


class LeakdxApp(App[None]):
    """The technician's screen."""

    TITLE = "leakdx"
    CSS_PATH = STYLES
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("anywhere")
    ENABLE_COMMAND_PALETTE = False  # the list of keys is one of our own

    def __init__(self, given: Given) -> None:
        super().__init__()
        self.given = given
        self.bench = Bench(given)
        self.who = given.who
        self.register_theme(DARK)
        self.register_theme(SUNLIGHT)
        self.theme = DARK.name
        if is_far():
            self.animation_level = "none"
        self.plain_marks = plain_marks()
        self.set_class(self.plain_marks, "-ascii")
        ScrollBar.renderer = PlainBars if self.plain_marks else ScrollBarRender

    def on_mount(self) -> None:
        """Cases first; one that was named is opened over them."""
        self.push_screen(HomeScreen())
        if self.given.case:
            self.go_on(self.given.case)

    def on_unmount(self) -> None:
        """The bench ends with the app."""
        self.bench.stop()

    def notify(
        self,
        message: str,
        *,
        title: str = "",
        severity: SeverityLevel = "information",
        timeout: float | None = None,
        markup: bool = False,
    ) -> None:
        """Say something over the screen, in which nothing acts; of what is very long its beginning and its end."""
        said = clean(message)
        if len(said) > LONGEST_SAID:
            said = f"{said[: LONGEST_SAID // 2]} ... {said[-LONGEST_SAID // 2 :]}"
        super().notify(said, title=title, severity=severity, timeout=timeout, markup=markup)

    # -- what should not happen --------------------------------------------------------------------------

    @property
    def failure(self) -> Exception | None:
        """What has ended the app, where it should not have happened."""
        return self._exception

    def _fatal_error(self) -> None:
        """End without Textual's trace across the terminal: whoever runs the app says it in a sentence."""
        self._close_messages_no_wait()

    # -- from screen to screen ---------------------------------------------------------------------------

    def begin(self) -> None:
        """A new case."""
        self._open(self.bench.begin)

    def go_on(self, id: str) -> None:
        """The case of an id."""
        self._open(lambda who: self.bench.go_on(id, who))

    def practise(self) -> None:
        """The practice case."""
        self._open(self.bench.practise)

    def _open(self, opened: "Callable[[str], Awaitable[Sitting]]") -> None:
        """Ask who answers, once, then open the case."""
        from leakdx.ui.screens.line import LineScreen

        def with_initials(who: str | None) -> None:
            if who:
                self.who = who
                self._show_case(opened)

        if self.who:
            with_initials(self.who)
        else:
            self.push_screen(LineScreen("Who answers? Your initials; they stand beside each answer."), with_initials)

    @work(group="open", exclusive=True)
    async def _show_case(self, opened: "Callable[[str], Awaitable[Sitting]]") -> None:
        from leakdx.ui.screens.case import CaseScreen

        try:
            sitting = await opened(self.who)
        except LeakdxError as error:
            self.notify(str(error), title="Not opened", severity="error", markup=False)
            return
        if isinstance(self.screen, HomeScreen):  # a second press of the key opens it once
            self.screen.left_for(sitting.name)
            await self.push_screen(CaseScreen(sitting))

    async def run_action(
        self,
        action: "str | ActionParseResult",
        default_namespace: "DOMNode | None" = None,
        namespaces: "Mapping[str, DOMNode] | None" = None,
    ) -> bool:
        """As ever, but not on a screen whose parts do not stand there yet: a quick key may come before them."""
        return self.screen.is_mounted and await super().run_action(action, default_namespace, namespaces)

    # -- keys that work anywhere -------------------------------------------------------------------------

    def action_look(self) -> None:
        """Dark, or for sunlight."""
        self.theme = SUNLIGHT.name if self.theme == DARK.name else DARK.name

    def action_keys(self) -> None:
        """All that can be done here."""
        from leakdx.ui.screens.keys import KeysScreen

        page = self.screen
        if not isinstance(page, Page):
            return

        def chosen(action: Action | None) -> None:
            if action is not None:
                where = "app" if action.where == "anywhere" else "screen"
                self.call_later(page.run_action, f"{where}.{action.name}")

        self.push_screen(KeysScreen(actions_of(page.where)), chosen)

    def action_help(self) -> None:
        """What this screen is for."""
        from leakdx.ui.screens.help import HelpScreen
        from leakdx.ui.screens.small import SmallScreen

        if not isinstance(self.screen, HelpScreen | SmallScreen):
            self.push_screen(HelpScreen(self.screen))

    async def action_leave(self) -> None:
        """One screen back."""
        await self.screen.run_action("screen.leave")

    async def action_back(self) -> None:
        """One screen back."""
        await self.screen.run_action("screen.back")

    # -- size --------------------------------------------------------------------------------------------

    def on_resize(self, event: Resize) -> None:
        """Below the least size it says so, and comes back by itself."""
        from leakdx.ui.screens.small import SmallScreen

        for name, applies in (
            ("-tall", event.size.height >= TALL),
            ("-short", event.size.height < USUAL_ROWS),
            ("-wide", event.size.width >= WIDE),
            ("-narrow", event.size.width < USUAL_COLUMNS),
        ):
            self.set_class(applies, name)
        small = event.size.width < FEWEST_COLUMNS or event.size.height < FEWEST_ROWS
        if small and not isinstance(self.screen, SmallScreen):
            self.push_screen(SmallScreen(FEWEST_COLUMNS, FEWEST_ROWS))
        elif not small and isinstance(self.screen, SmallScreen):
            self.pop_screen()
