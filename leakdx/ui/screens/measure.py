"""What can be measured on this truck: chosen here, typed on the map of the flange."""

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.content import Content

from leakdx.ui.actions import bindings_of
from leakdx.ui.drafts import LEFT
from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.widgets.plain import lines, plain

if TYPE_CHECKING:
    from leakdx.interview.measuring.offer import Offered
    from leakdx.ui.screens.case import CaseScreen

NOTHING = "Nothing of this knowledge is measured."


class MeasureScreen(ListPage):
    """Measurements, those that can be taken now first."""

    BINDINGS = bindings_of("measure")
    where = "measure"
    title_text = "Measure: what can be read on this truck"
    about: ClassVar[str] = (
        "What can be measured, with what it needs first. Enter opens the marked one: readings are then typed one after "
        "the other, each place shown on a map of the flange, and what they come to is said as you type."
    )

    def __init__(self, case: "CaseScreen") -> None:
        super().__init__()
        self._case = case
        self._offers: tuple[Offered, ...] = ()

    def on_mount(self) -> None:
        """See how the truck stands."""
        self.rows.focus()
        self.show()

    @work(group="measure", exclusive=True)
    async def show(self) -> None:
        """Fetch what is offered, and mark what would answer the question that is asked."""
        self._offers = await self._case.sitting.measuring.offered()
        self.fill([self._row(offer) for offer in self._offers], NOTHING)
        asked = self._case.question.id if self._case.question is not None else ""
        at = next((at for at, offer in enumerate(self._offers) if asked in offer.signs), None)
        if at is not None and self.is_alive:
            self.rows.highlighted = at

    def details(self, at: int) -> Content:
        """What it tells, with which tools, and what to beware of."""
        offer = self._offers[at]
        return lines(
            *(plain(f"CAUTION: {caution}", "bold") for caution in offer.cautions),
            plain(offer.about),
            plain(f"Tools: {', '.join(offer.tools)}" if offer.tools else ""),
            plain("Enter: type the readings."),
        )

    def choose(self, at: int) -> None:
        """Type it."""
        self.dismiss()
        self._case.measure(self._offers[at])

    def _row(self, offer: "Offered") -> Content:
        half = plain(f"  {LEFT}", "bold") if self._case.sitting.measuring.draft(offer).left else plain("")
        return plain(offer.title, "bold") + half + plain(f"  ({offer.state})")
