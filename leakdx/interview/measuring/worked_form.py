"""Raw readings that are worked out by a calculation and kept as they were typed."""

from collections.abc import Iterator, Mapping, Sequence

from leakdx.case import LogEntry, Measurement
from leakdx.errors import LeakdxError
from leakdx.explain.numbers import number
from leakdx.explain.words import answer_name, capital, percent
from leakdx.interview.measuring.form import CALIBRATED, COUNT, HIGH, OBLONG, SHAPE, TOOL, WIDE, Form, SoFar
from leakdx.interview.measuring.line import Typed
from leakdx.interview.question import ReplyError
from leakdx.measured.axle import filled
from leakdx.measured.kinds import Calculation
from leakdx.mechanics.places import Arc
from leakdx.reasoning.worked_out import Worked, work_out

SHOWN_FROM = 0.05
"""Chance from which an answer is named beside the likeliest."""


class WorkedForm(Form):
    """A form whose readings are the fields of a calculation."""

    by: Calculation

    def is_alike(self, entry: LogEntry) -> bool:
        """By the calculation."""
        return isinstance(entry, Measurement) and entry.by == self.by

    def readings(self, typed: Typed) -> dict[str, str]:
        """The fields of the calculation, each as typed. Raises ReplyError where something is missing."""
        raise NotImplementedError

    def filled(self, texts: Mapping[str, str]) -> Mapping[str, str]:
        """The fields with what the axle family gives. Raises FieldError."""
        return filled(self.by, texts, self.axle.values, self.axle.name) if self.axle is not None else texts

    def with_joint(self, typed: Typed) -> dict[str, str]:
        """The joint's own fields, as they are kept."""
        names = (COUNT, HIGH, WIDE) if typed.get(SHAPE) == OBLONG else (COUNT,)
        return {name: typed[name] for name in names if name in typed}

    def found(self, typed: Typed) -> SoFar:
        """Each thing that is answered, with its chances by these readings."""
        try:
            marks, low = self.seen(typed)
            return SoFar(tuple(self._words(self._worked(typed))), marks, low)
        except LeakdxError as error:
            return SoFar(wrong=in_words(error))

    def seen(self, typed: Typed) -> tuple[dict[str, str], tuple[Arc, ...]]:
        """Marks of places that the readings say something of, and where a face is low. Raises LeakdxError."""
        return {}, ()

    def entries(self, typed: Typed) -> list[LogEntry]:
        """One entry, once it can be worked out."""
        self.refuse_missing(typed)
        try:
            self._worked(typed)
        except LeakdxError as error:
            raise ReplyError(in_words(error)) from error
        tool, calibrated = typed.get(TOOL, ""), typed.get(CALIBRATED, "")
        readings = self.readings(typed)
        return [Measurement(number=0, who="", by=self.by, readings=readings, tool=tool, calibrated=calibrated)]

    def _worked(self, typed: Typed) -> tuple[Worked, ...]:
        entry = Measurement(number=0, who="", by=self.by, readings=self.readings(typed))
        return work_out(self.knowledge, self.case.axle, entry)

    def _words(self, worked: Sequence[Worked]) -> Iterator[str]:
        """Each thing that is answered, with its chances by these readings, then what was worked out."""
        for row in worked:
            sign = self.knowledge.signs[row.sign]
            whole = sum(row.says)
            chances = dict(zip(sign.outcomes, (share / whole for share in row.says), strict=True))
            if sign.measure is not None:
                limit = f"beyond {number(sign.measure.limit, 'g')} {sign.measure.unit}"
                yield f"{capital(sign.name)}: {percent(chances[sign.outcomes[-1]])} that it is {limit}"
            else:
                ranked = sorted(chances.items(), key=lambda row: -row[1])
                shown = [row for at, row in enumerate(ranked) if at == 0 or row[1] >= SHOWN_FROM]
                named = ", ".join(f"{answer_name(self.knowledge, row.sign, a)} {percent(p)}" for a, p in shown)
                yield f"{capital(sign.name)}: {named}"
        yield from dict.fromkeys(capital(row.said) for row in worked)


def in_words(error: LeakdxError) -> str:
    """The sentence, with the calculation's options called as the lines are."""
    return str(error).replace("--", "").replace("_", " ")
