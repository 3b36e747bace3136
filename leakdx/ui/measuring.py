"""Measuring on one case: what can be measured, what is typed of it, what it comes to, and writing it down."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from leakdx.interview.measuring.form import Form, SoFar
from leakdx.interview.measuring.line import Line, System
from leakdx.interview.measuring.offer import Offered, form_of, offered
from leakdx.quantities import warm_up

if TYPE_CHECKING:
    from leakdx.ui.sitting import Said, Sitting

Typed = Mapping[str, str]


class Measuring:
    """The measurements of a sitting. What is typed and not written down yet stays until the screen is left."""

    def __init__(self, sitting: "Sitting") -> None:
        self._sitting = sitting
        self._drafts = sitting.bench.drafts.setdefault(sitting.name, {})
        """Measurement -> what is typed of it and not written down yet."""

    @property
    def system(self) -> System:
        """The units that a bare number is read in."""
        return self._sitting.interview.ways.units or "inch"

    async def offered(self) -> tuple[Offered, ...]:
        """What can be measured on this truck."""
        interview = self._sitting.interview
        return await self._sitting.bench.run(lambda: offered(interview.knowledge, interview.case))

    async def form(self, offer: Offered) -> tuple[Form, Typed]:
        """The form of what is offered, and what was typed into it before it was left."""
        return await self._sitting.bench.run(self._form, offer)

    def put(self, form: Form, typed: Typed, line: Line, text: str) -> Typed:
        """What is typed, with a text on a line. Raises ReplyError; quick enough to be done at each letter."""
        return form.put(typed, line, text, self.system, self._sitting.interview.ways)

    async def so_far(self, form: Form, typed: Typed) -> SoFar:
        """What the readings come to so far."""
        return await self._sitting.bench.run(form.found, typed)

    async def keep(self, form: Form, typed: Typed) -> None:
        """Keep what is typed so far with the case; nothing typed: forget it."""
        await self._sitting.bench.run(self._keep, form.key, typed)

    async def write(self, form: Form, typed: Typed) -> "Said":
        """Write down what was measured."""
        return await self._sitting.do(lambda: self._write(form, typed))

    # -- on the bench ------------------------------------------------------------------------------------

    def _form(self, offer: Offered) -> tuple[Form, Typed]:
        warm_up()  # no letter that is typed waits for the units
        interview = self._sitting.interview
        form = form_of(interview.knowledge, interview.case, offer)
        return form, self._drafts.get(offer.key) or form.begun()

    def _keep(self, key: str, typed: Typed) -> None:
        if typed:
            self._drafts[key] = dict(typed)
        else:
            self._drafts.pop(key, None)

    def _write(self, form: Form, typed: Typed) -> tuple[str, ...]:
        written = self._sitting.interview.write(form.entries(typed))
        self._keep(form.key, {})
        return written
