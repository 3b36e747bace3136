"""Other checks that are worth their minutes, with reasons; any of them can be made now."""

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.content import Content

from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.widgets.plain import plain

if TYPE_CHECKING:
    from leakdx.reasoning.answer import NextCheck
    from leakdx.ui.screens.case import CaseScreen

NONE_WORTH = "No check is worth its minutes now."


class OthersScreen(ListPage):
    """Checks, the one worth most first."""

    BINDINGS = bindings_of("others")
    where = "others"
    title_text = "Checks worth their minutes, the best first"
    about: ClassVar[str] = "Checks that would pay for their minutes. Enter makes the marked one now; w says why."

    def __init__(self, case: "CaseScreen") -> None:
        super().__init__()
        self._case = case
        self._checks: tuple[NextCheck, ...] = ()

    def on_mount(self) -> None:
        """Weigh them."""
        self.rows.focus()
        self.show()

    @work(group="others", exclusive=True)
    async def show(self) -> None:
        """Fetch the checks."""
        self._checks = await self._case.sitting.others()
        self.fill([_row(check) for check in self._checks], NONE_WORTH)

    def details(self, at: int) -> str:
        """What it asks and why it is worth it."""
        check = self._checks[at]
        opens = f"\nNeeds first: {', '.join(map(self._case.sitting.opening_name, check.opens))}" if check.opens else ""
        return f"{check.question}\n{check.why}{opens}\nEnter: make this check now."

    def choose(self, at: int) -> None:
        """Make it now."""
        self.dismiss()
        self._case.ask_check(self._checks[at].id)

    def action_why(self) -> None:
        """Why the marked one."""
        if self.marked is not None and self._checks:
            check = self._checks[self.marked]
            self._case.show_why(check.id, check.name)


def _row(check: "NextCheck") -> Content:
    from leakdx.explain.words import minutes

    return plain(check.name, "bold") + plain(f"  ({minutes(check.minutes)})")
