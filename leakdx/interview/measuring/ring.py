"""A torque audit, fastener by fastener round the ring."""

from collections.abc import Iterator
from dataclasses import fields
from functools import partial

from leakdx.diagrams.flangemap import READ, STRETCHED, UNSURE, WEAK
from leakdx.errors import LeakdxError
from leakdx.explain.words import percent
from leakdx.interview.measuring.form import COUNT, SoFar
from leakdx.interview.measuring.line import TORQUE, Choice, Line, Typed
from leakdx.interview.measuring.units import in_one_unit
from leakdx.interview.measuring.worked_form import WorkedForm, in_words
from leakdx.interview.question import ReplyError
from leakdx.measured.axle import DIAMETER
from leakdx.measured.axle import TORQUE as ORDERED
from leakdx.measured.fields import from_texts
from leakdx.measured.ring import RingRead, one
from leakdx.measured.typed import number_in
from leakdx.mechanics.audit import Fastener, State
from leakdx.mechanics.places import clock
from leakdx.mechanics.threads import read_thread

THREAD, GRADE, ORDER, TURNING, _FACTOR, AUDIT, _COUNT, WAY, BOND, *_OTHERS = (field.name for field in fields(RingRead))
SETTINGS = (THREAD, GRADE, ORDER, TURNING, WAY, BOND)
_WAYS = (
    Choice("moving", "while it moves"),
    Choice("peak", "the peak as it breaks away"),
    Choice("loosening", "as it comes loose"),
)
_COMMON = "N*m"
_MARKS = {
    State.TURNS: WEAK,
    State.LOST: WEAK,
    State.UNSURE: UNSURE,
    State.HOLDS: READ,
    State.STRETCHED: STRETCHED,
}


class RingForm(WorkedForm):
    """The ring of fasteners, each at its first movement."""

    by = "fasteners"

    def settings(self, typed: Typed) -> Iterator[Line]:
        """How it was tightened, as far as the axle family does not say, and how it is read."""
        own = self.axle.values if self.axle else {}
        numbers = self.knowledge.trade_numbers
        torque = number_in("N*m", "225 lb-ft")
        if DIAMETER.value not in own:
            asked = "Which thread, such as 5/8-11 or M16x2?"
            read = partial(read_thread, trade=numbers)
            yield Line(name=THREAD, label="thread", asked=asked, read=read, needed=True)
        grades = tuple(Choice(name, grade.name) for name, grade in numbers.grades.items())
        yield Line(name=GRADE, label="grade", asked="Which grade, by its head?", choices=grades, needed=True)
        if ORDERED.value not in own:
            asked = "Which torque was ordered?"
            yield Line(name=ORDER, label="ordered", asked=asked, read=torque, units=TORQUE, needed=True)
        states = tuple(Choice(name, state.words) for name, state in numbers.threads_state.items())
        usual = _usual(TURNING)
        yield Line(name=TURNING, label="threads", asked="How are the threads?", choices=states, usual=usual)
        if numbers.threads_state[typed.get(TURNING, usual)].bonds:
            asked = "Torque that the thread adhesive may hold"
            yield Line(name=BOND, label="adhesive", asked=asked, read=torque, units=TORQUE)
        yield Line(name=WAY, label="read", asked="How is it read?", choices=_WAYS, usual=_usual(WAY))

    def places(self, typed: Typed) -> Iterator[Line]:
        """The fasteners in order."""
        turns = self.turns(typed)
        for number, turn in enumerate(turns, 1):
            name, at = f"n{number}", clock(turn)
            asked = f"Fastener {number} of {len(turns)}, at {at}: torque at its first movement; 0: turns freely"
            read = number_in("N*m", "225 lb-ft")
            yield Line(name=name, label=f"{number} ({at})", asked=asked, read=read, units=TORQUE, turn=turn)

    def readings(self, typed: Typed) -> dict[str, str]:
        """The fields of ``leakdx calc fasteners``; every fastener has to be read."""
        names = [line.name for line in self.places(typed)]
        left = [name[1:] for name in names if name not in typed]
        if left or not names:
            which = " ".join(left) or "any"
            raise ReplyError(f"not read yet: {which}; an audit needs every fastener, 0 where one turns freely")
        numbers, unit = in_one_unit([typed[name] for name in names], _COMMON)
        return {**self._settings(typed), AUDIT: " ".join([*numbers, unit])}

    def _settings(self, typed: Typed) -> dict[str, str]:
        """The fields beside the readings."""
        asked = {line.name for line in self.settings(typed)}
        return {name: typed[name] for name in (*SETTINGS, COUNT) if name in typed and name in {*asked, COUNT}}

    def found(self, typed: Typed) -> SoFar:
        """As the ring is read, each fastener by itself; the pattern once all are."""
        try:
            each = self._each(typed)
        except LeakdxError as error:
            return SoFar(wrong=in_words(error))
        marks = {f"n{number}": _MARKS[fastener.state] for number, fastener in each.items()}
        if len(each) < len(list(self.places(typed))):
            return SoFar((self._so_far(typed, each),), marks)
        whole = super().found(typed)
        return SoFar(whole.said, marks, wrong=whole.wrong)

    def _each(self, typed: Typed) -> dict[int, Fastener]:
        """Fastener by number, of those that were read. Raises MeasureError, FieldError."""
        read = from_texts(RingRead, self.filled(self._settings(typed)))
        names = [line.name for line in self.places(typed) if line.name in typed]
        return {int(n[1:]): one(read, int(n[1:]), typed[n], self.knowledge.trade_numbers) for n in names}

    def _so_far(self, typed: Typed, each: dict[int, Fastener]) -> str:
        said = [f"{len(each)} of {len(self.turns(typed))} read"]
        for state in (State.TURNS, State.LOST, State.STRETCHED, State.UNSURE):
            numbers = [f"{number} ({percent(f.chance_lost)})" for number, f in each.items() if f.state is state]
            if numbers:
                said.append(f"{state}: {', '.join(numbers)}")
        return f"{'; '.join(said)}. In brackets: chance that it has lost clamp" if len(said) > 1 else said[0]


def _usual(field: str) -> str:
    """What the calculation takes where nothing is said."""
    return str(getattr(RingRead(), field))
