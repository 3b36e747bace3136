"""A value that is held against a limit: how hot the housing gets, what pressure it reaches."""

from collections.abc import Iterator

from leakdx.case import LogEntry, Reading
from leakdx.explain.numbers import number
from leakdx.explain.words import capital, percent
from leakdx.interview.measuring.form import CALIBRATED, TOOL, Form, SoFar
from leakdx.interview.measuring.line import Line, Typed
from leakdx.interview.question import ReplyError
from leakdx.measured.typed import parted
from leakdx.mechanics.given import MeasureError
from leakdx.quantities import QuantityError, convert, in_system
from leakdx.reasoning.measurement import chance_beyond
from leakdx.store.entries import check_reading

TIMES = 3
"""Readings of one value that are asked; a second and third may be left out."""


class ValueForm(Form):
    """One measured sign, read once or more often; each reading is an entry of its own."""

    def settings(self, typed: Typed) -> Iterator[Line]:
        """The readings."""
        sign = self.knowledge.signs[self.sign]
        measure = sign.measure
        assert measure is not None  # the form is made for a measured sign
        units = (in_system(measure.unit, "inch"), in_system(measure.unit, "metric"))
        for time in range(1, TIMES + 1):
            asked = sign.question or sign.name if time == 1 else f"Reading {time} of the same; may be left out"
            name = f"reading {time}"
            yield Line(name=name, label=name, asked=asked, read=self._check, units=units, needed=time == 1)

    def is_alike(self, entry: LogEntry) -> bool:
        """A reading of the same."""
        return isinstance(entry, Reading) and entry.sign == self.sign

    def joint_lines(self, typed: Typed) -> Iterator[Line]:
        """Nothing of it is asked."""
        return iter(())

    def _check(self, text: str) -> None:
        value, unit = parted(text) or (text, "")
        measure = self.knowledge.signs[self.sign].measure
        assert measure is not None  # the form is made for a measured sign
        try:
            check_reading(value, unit, measure)
        except QuantityError as error:
            raise MeasureError(str(error)) from error

    def found(self, typed: Typed) -> SoFar:
        """The chance that the true value is beyond the limit."""
        measure = self.knowledge.signs[self.sign].measure
        read = self._read(typed)
        if measure is None or not read:
            return SoFar(wrong="nothing is read yet")
        chance = chance_beyond(measure, [convert(value, unit, measure.unit) for value, unit in read])
        limit = f"{measure.beyond} {number(measure.limit, 'g')} {measure.unit}"
        name = capital(self.knowledge.signs[self.sign].name)
        gauge = f"A reading is good to {number(measure.gauge, 'g')} {measure.unit}"
        return SoFar((f"{name}: {percent(chance)} that it is {limit}", f"{gauge}; a further one says more"))

    def _read(self, typed: Typed) -> list[tuple[str, str]]:
        """Value and unit of each reading."""
        texts = [typed[line.name] for line in self.settings(typed) if line.name in typed]
        return [parted(text) or (text, "") for text in texts]

    def entries(self, typed: Typed) -> list[LogEntry]:
        """One for each reading."""
        self.refuse_missing(typed)
        tool, calibrated = typed.get(TOOL, ""), typed.get(CALIBRATED, "")
        read = self._read(typed)
        if not read:
            raise ReplyError("nothing is read yet; type the value")
        return [
            Reading(number=0, who="", sign=self.sign, value=value, unit=unit, tool=tool, calibrated=calibrated)
            for value, unit in read
        ]
