"""What all screens of leakdx share: the way back, the list of keys, help, and where the app and the bench are."""

from asyncio import InvalidStateError, ensure_future, shield
from typing import TYPE_CHECKING, ClassVar, TypeVar, cast

from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen, Screen
from textual.widgets import Input

from leakdx.ui.actions import Where

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from textual.worker import Worker

    from leakdx.ui.app import LeakdxApp
    from leakdx.ui.bench import Bench


_Result = TypeVar("_Result")


async def seen_through(worker: "Worker[_Result]") -> _Result:
    """Wait for a worker, which goes on where whoever waits is gone; that it too may end then is nobody's fault."""
    waiting = ensure_future(worker.wait())
    waiting.add_done_callback(lambda over: over.cancelled() or over.exception())
    return await shield(waiting)


class LeftOnce(Screen[_Result]):
    """A screen that is left once: a second press, meant for what was left, takes nothing else away with it."""

    def dismiss(self, result: _Result | None = None) -> AwaitComplete:
        """Leave it, unless it was left already."""
        if self.app.screen is not self:  # one that is seen under a dialog is "current" too
            return AwaitComplete()
        try:
            return super().dismiss(result)
        except InvalidStateError:  # the screen that waited for the result is gone
            return self.app.pop_screen()


class Dialog(ModalScreen[_Result], LeftOnce[_Result]):
    """What stands over a screen and asks or tells something."""


class Page(LeftOnce[None]):
    """A screen. ``where``: its rows of the table of actions; ``about``: what F1 says it is for."""

    AUTO_FOCUS = ""
    where: ClassVar[Where] = "anywhere"
    about: ClassVar[str] = ""

    is_busy = False
    """Whether something is being asked or written."""

    def one_at_a_time(self, act: "Callable[..., Awaitable[object]]", *given: object) -> None:
        """Begin something unless something else is under way, so that a second press does nothing."""
        if not self.is_busy:
            self.is_busy = True
            self.run_worker(self._alone(act, *given), group="alone")

    async def _alone(self, act: "Callable[..., Awaitable[object]]", *given: object) -> None:
        try:
            await act(*given)
        finally:
            self.is_busy = False

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
        """Whether it still stands: what comes late from the bench may come after it was left, or as the app ends."""
        return self.app.is_running and self in self.app.screen_stack

    def action_back(self) -> None:
        """One screen back."""
        self.action_leave()

    def action_leave(self) -> None:
        """One screen back; the first one is the end of the app."""
        if self is self.app.screen_stack[1 if len(self.app.screen_stack) > 1 else 0]:
            self.app.exit()
        else:
            self.dismiss()


class FieldPage(Page):
    """A screen whose field is left before the screen is."""

    def action_back(self) -> None:
        """Out of the field where one is in use, so that letters are keys again; else one screen back."""
        if isinstance(self.focused, Input):
            self.set_focus(None)
        else:
            self.action_leave()
