"""What a case knows already of places round the joint: the wet arc, slack fasteners, a low face, a weld."""

from collections.abc import Iterator, Mapping
from contextlib import suppress

from leakdx.case import Case, Comeback, Done, LogEntry, Measurement, Observation, PlacesSeen
from leakdx.diagrams.flangemap import LOW, WELD, WET, Stretch
from leakdx.errors import LeakdxError
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.place_signs import wet_sign
from leakdx.measured.axle import filled
from leakdx.measured.face import FaceRead, Limit, Measured, measured
from leakdx.measured.fields import from_texts
from leakdx.measured.kinds import Calculation
from leakdx.measured.ring import RingRead, audited
from leakdx.measured.together import numbers
from leakdx.mechanics.audit import Audit
from leakdx.mechanics.places import Arc, arc_of_hours, clock, read_arc
from leakdx.reasoning.worked_out import answered_by


class Known:
    """Since the joint was last closed. ``wet`` and ``weld`` are places as typed, empty where none is known.

    ``faces``: how each face was read and what came of it, by its name.
    """

    def __init__(self, knowledge: Knowledge, case: Case) -> None:
        self._knowledge, self._case = knowledge, case
        self._axle = knowledge.axles.get(case.axle or "")
        self.wet = self.weld = ""
        self.weak: tuple[int, ...] = ()
        self.low: tuple[Arc, ...] = ()
        self.audit: Audit | None = None
        self.faces: dict[str, tuple[FaceRead, Measured]] = {}
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
                self.audit = audited(from_texts(RingRead, self.filled(entry)), self._knowledge.trade_numbers)
                self.weak = self.audit.weak
            case Measurement(by="flatness"):
                self.low = tuple(self._low(entry))
            case Measurement(by="place", readings=readings):
                self.wet = _by_clock(readings.get("wet", ""), self.wet)
                self.weld = _by_clock(readings.get("weld", ""), self.weld)
                self.weak = self.weak or numbers(readings.get("weak", ""))
            case _:
                pass

    def _forget(self) -> None:
        self.wet = self.weld = ""
        self.weak, self.low, self.audit = (), (), None
        self.faces.clear()

    def _low(self, entry: Measurement) -> Iterator[Arc]:
        for sign in answered_by(self._knowledge, entry):
            measure = self._knowledge.signs[sign].measure
            if measure is not None:
                limit = Limit(measure.limit, measure.unit, measure.median, measure.factor)
                read = from_texts(FaceRead, self.filled(entry))
                found = measured(read, limit.typed, self._knowledge.trade_numbers.flatness)
                self.faces[read.face] = read, found
                yield from (Arc(place.turn) for place in found.low)

    def filled(self, entry: Measurement) -> Mapping[str, str]:
        """Its texts, with the values of the axle family where none are given. FieldError where they do not fit."""
        return self.with_axle(entry.readings, entry.by)

    def with_axle(self, texts: Mapping[str, str], by: Calculation = "flatness") -> Mapping[str, str]:
        """The same for texts of a kind of measurement; those of a face say the joint's shape as well."""
        axle = self._axle
        return filled(by, texts, axle.values, axle.name) if axle is not None else texts


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
