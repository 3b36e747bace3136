"""What all screens of leakdx share: the way back, the list of keys, help, and where the app and the bench are."""

from typing import TYPE_CHECKING, ClassVar, cast

from textual.screen import Screen
from textual.widgets import Footer

from leakdx.ui.actions import Where

if TYPE_CHECKING:
    from leakdx.ui.app import LeakdxApp
    from leakdx.ui.bench import Bench


class Page(Screen[None]):
    """A screen. ``where``: its rows of the table of actions; ``about``: what F1 says it is for."""

    AUTO_FOCUS = ""
    where: ClassVar[Where] = "anywhere"
    about: ClassVar[str] = ""

    @property
    def leakdx(self) -> "LeakdxApp":
        """The app."""
        return cast("LeakdxApp", self.app)

    @property
    def bench(self) -> "Bench":
        """Where the work is done."""
        return self.leakdx.bench

    @property
    def is_alive(self) -> bool:
        """Whether it still stands: what comes late from the bench may come after it was left."""
        return self.is_attached and bool(self.query(Footer))

    def action_back(self) -> None:
        """One screen back."""
        self.action_leave()

    def action_leave(self) -> None:
        """One screen back; the first one is the end of the app."""
        if self is self.app.screen_stack[1 if len(self.app.screen_stack) > 1 else 0]:
            self.app.exit()
        else:
            self.app.pop_screen()
