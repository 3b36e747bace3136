"""Measuring on one case: what can be measured, what is typed of it, what it comes to, and writing it down."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from leakdx.interview.measuring.form import Form, SoFar
from leakdx.interview.measuring.line import Line, System
from leakdx.interview.measuring.offer import Offered, form_of, offered
from leakdx.quantities import warm_up
from leakdx.ui.drafts import PageDraft

if TYPE_CHECKING:
    from leakdx.ui.sitting import Said, Sitting

Typed = Mapping[str, str]


class Measuring:
    """The measurements of a sitting."""

    def __init__(self, sitting: "Sitting") -> None:
        self._sitting = sitting

    @property
    def system(self) -> System:
        """The units that a bare number is read in."""
        return self._sitting.interview.ways.units or "inch"

    async def offered(self) -> tuple[Offered, ...]:
        """What can be measured on this truck."""
        interview = self._sitting.interview
        return await self._sitting.bench.run(lambda: offered(interview.knowledge, interview.case))

    async def form(self, offer: Offered) -> Form:
        """The form of what is offered."""
        return await self._sitting.bench.run(self._form, offer)

    def draft(self, of: Form | Offered) -> PageDraft:
        """What stands half typed of a measurement."""
        return self._sitting.drafts.page(f"measure {of.key}", f"{of.title} (key m)")

    def put(self, form: Form, typed: Typed, line: Line, text: str) -> Typed:
        """What is typed, with a text on a line. Raises ReplyError; quick enough to be done at each letter."""
        return form.put(typed, line, text, self.system, self._sitting.interview.ways)

    async def so_far(self, form: Form, typed: Typed) -> SoFar:
        """What the readings come to so far."""
        return await self._sitting.bench.run(form.found, typed)

    async def write(self, form: Form, typed: Typed) -> "Said":
        """Write down what was measured."""
        write = self._sitting.interview.write
        return await self._sitting.do(self.draft(form).written_by(lambda: write(form.entries(typed))))

    # -- on the bench ------------------------------------------------------------------------------------

    def _form(self, offer: Offered) -> Form:
        warm_up()  # no letter that is typed waits for the units
        interview = self._sitting.interview
        return form_of(interview.knowledge, interview.case, offer)
