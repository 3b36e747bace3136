"""What a case knows already of places round the joint: the wet arc, slack fasteners, a low face, a weld."""

from collections.abc import Iterator, Mapping
from contextlib import suppress

from leakdx.case import Case, Comeback, Done, LogEntry, Measurement, Observation, PlacesSeen
from leakdx.diagrams.flangemap import LOW, WELD, WET, Stretch
from leakdx.errors import LeakdxError
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.place_signs import wet_sign
from leakdx.measured.axle import filled
from leakdx.measured.face import FaceRead, Limit, measured
from leakdx.measured.fields import from_texts
from leakdx.measured.ring import RingRead, audited
from leakdx.mechanics.places import Arc, arc_of_hours, clock, read_arc
from leakdx.reasoning.worked_out import answered_by


class Known:
    """Since the joint was last closed. ``wet`` and ``weld`` are places as typed, empty where none is known."""

    def __init__(self, knowledge: Knowledge, case: Case) -> None:
        self._knowledge, self._case = knowledge, case
        self._axle = knowledge.axles.get(case.axle or "")
        self.wet = self.weld = ""
        self.weak: tuple[int, ...] = ()
        self.low: tuple[Arc, ...] = ()
        for entry in case.standing:
            with suppress(LeakdxError):  # what cannot be worked out here is said where it is written
                self._take(entry)

    def stretches(self) -> Iterator[Stretch]:
        """All of it that lies along the line."""
        if self.wet:
            yield Stretch(WET, read_arc(self.wet, ()))
        yield from (Stretch(LOW, arc) for arc in self.low)
        if self.weld:
            yield Stretch(WELD, read_arc(self.weld, ()))

    def _take(self, entry: LogEntry) -> None:
        match entry:
            case Comeback():
                self._forget()
            case Done(act=act) if act in self._knowledge.repairs and self._knowledge.repairs[act].closes is not None:
                self._forget()
            case PlacesSeen(arc=(start, end)) if self._case.complaint in entry.wet:
                self.wet = _typed(start, end)
            case Observation(arc=(start, end)) if entry.sign == wet_sign(self._case.complaint):
                self.wet = _typed(start, end)
            case Measurement(by="fasteners"):
                read = from_texts(RingRead, self._filled(entry))
                self.weak = audited(read, self._knowledge.trade_numbers).weak
            case Measurement(by="flatness"):
                self.low = tuple(self._low(entry))
            case Measurement(by="place", readings=readings):
                self.wet = _by_clock(readings.get("wet", ""), self.wet)
                self.weld = _by_clock(readings.get("weld", ""), self.weld)
            case _:
                pass

    def _forget(self) -> None:
        self.wet = self.weld = ""
        self.weak, self.low = (), ()

    def _low(self, entry: Measurement) -> Iterator[Arc]:
        for sign in answered_by(self._knowledge, entry):
            measure = self._knowledge.signs[sign].measure
            if measure is not None:
                limit = Limit(measure.limit, measure.unit, measure.median, measure.factor)
                read = from_texts(FaceRead, self._filled(entry))
                found = measured(read, limit.typed, self._knowledge.trade_numbers.flatness)
                yield from (Arc(place.turn) for place in found.low)

    def _filled(self, entry: Measurement) -> Mapping[str, str]:
        axle = self._axle
        return filled(entry.by, entry.readings, axle.values, axle.name) if axle is not None else entry.readings


def _typed(start: float, end: float) -> str:
    """A stretch between two clock hours as it is typed."""
    arc = arc_of_hours(start, end)
    first, last = clock(arc.start), clock(arc.start + arc.width)
    return first if first == last else f"{first}..{last}"


def _by_clock(typed: str, otherwise: str) -> str:
    """A place that can be read without knowing how many fasteners there are."""
    try:
        read_arc(typed, ())
    except LeakdxError:
        return otherwise
    return typed
