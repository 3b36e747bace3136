"""A face read place by place: heights of a dial, gaps under a straight edge, or one blade that enters or does not."""

from collections.abc import Iterator

from leakdx.diagrams.flangemap import FAR
from leakdx.interview.measuring.form import AGAIN
from leakdx.interview.measuring.line import LENGTH, Choice, Line, Typed
from leakdx.interview.measuring.units import in_one_unit
from leakdx.interview.measuring.worked_form import WorkedForm
from leakdx.interview.question import ReplyError
from leakdx.measured import around
from leakdx.measured.face import FaceRead, Limit, measured
from leakdx.measured.fields import from_texts
from leakdx.measured.typed import number_in, parted
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.places import Arc, clock, read_clock

WAY, PLACES, AT, BLADE = "way", "places", "at", "blade"
GAPS, DIAL = "gaps", "dial"
ENTERS, STAYS_OUT = _TRIED_FIELDS = ("enters", "stays_out")
FASTENERS, OWN = "fasteners", "own"
_FEW, _MANY = "8", "12"
_WAYS = (
    Choice(GAPS, "gaps under a straight edge"),
    Choice(DIAL, "heights by a dial"),
    Choice(BLADE, "one blade that enters or does not"),
)
_WHERE = (
    Choice(_FEW, "8 by the clock"),
    Choice(_MANY, "12 by the clock"),
    Choice(FASTENERS, "at each fastener"),
    Choice(OWN, "places of your own"),
)
_TRIED = (Choice(ENTERS, "enters"), Choice(STAYS_OUT, "stays out"))
_COMMON = "mm"
_ASKED = {
    GAPS: "Gap at {}: the blade that enters, or 4..5 for one that enters and the next that does not; 0: none",
    DIAL: "Height at {}, higher is more",
    BLADE: "Does the blade enter at {}?",
}


class FaceForm(WorkedForm):
    """One face. ``sign``: the one that its readings answer, which also says which face it is."""

    by = "flatness"

    def settings(self, typed: Typed) -> Iterator[Line]:
        """How and where it is read."""
        yield Line(name=WAY, label="way", asked="How is it read?", choices=_WAYS, usual=GAPS)
        if typed.get(WAY) == BLADE:
            asked = "How thick is the blade? The limit or less"
            yield Line(name=BLADE, label="blade", asked=asked, read=around.length, units=LENGTH, needed=True)
        yield Line(name=PLACES, label="places", asked="Where is it read?", choices=_WHERE, usual=_FEW)
        if typed.get(PLACES) == OWN:
            asked = "Which places? By the clock, as 12 1:30 3 4:30"
            yield Line(name=AT, label="at", asked=asked, read=_clocks, needed=True)

    def needs_count(self, typed: Typed) -> bool:
        """Only where it is read at the fasteners."""
        return typed.get(PLACES) == FASTENERS

    def places(self, typed: Typed) -> Iterator[Line]:
        """Each place that is read, in turn."""
        way = typed.get(WAY, GAPS)
        for name, said, turn in self._where(typed):
            label = f"{name} ({said})" if said else name
            asked = _ASKED[way].format(f"fastener {name[1:]} ({said})" if said else name)
            if way == BLADE:
                yield Line(name=name, label=label, asked=asked, choices=_TRIED, turn=turn)
            else:
                yield Line(name=name, label=label, asked=asked, read=self._reader(way), units=LENGTH, turn=turn)

    def _where(self, typed: Typed) -> Iterator[tuple[str, str, float]]:
        """Name, clock place where that is not the name, and turn of each place."""
        where = typed.get(PLACES, _FEW)
        if where == FASTENERS:
            for number, turn in enumerate(self.turns(typed), 1):
                yield f"n{number}", clock(turn), turn
            return
        if where == OWN:
            turns = _clocks(typed[AT]) if AT in typed else ()
        else:
            turns = tuple(read_clock(f"{hour // 60 or 12}:{hour % 60:02d}") for hour in _hours(int(where)))
        yield from ((clock(turn), "", turn) for turn in dict.fromkeys(turns))

    def _reader(self, way: str) -> "Reader":
        return Reader(self.knowledge.trade_numbers.flatness.highest.metres, signed=way == DIAL)

    def readings(self, typed: Typed) -> dict[str, str]:
        """The fields of ``leakdx calc flatness``."""
        sign = self.knowledge.signs[self.sign].worked_out
        assert sign is not None  # the form is made for a sign that readings answer
        read = {name: typed[name] for name in self._read_places(typed)}
        if not read:
            raise ReplyError("no place is read yet; type what was read at one of them")
        fields = {**sign.only, **self.with_joint(typed)}
        way = typed.get(WAY, GAPS)
        if way == BLADE:
            if BLADE not in typed:
                raise ReplyError("the blade's thickness is not typed yet; go back to it")
            tried = {field: " ".join(_place(n) for n, got in read.items() if got == field) for field in _TRIED_FIELDS}
            return {**fields, BLADE: typed[BLADE], **{field: where for field, where in tried.items() if where}}
        numbers, unit = in_one_unit(list(read.values()), _COMMON)
        each = [f"{_place(name)}={number}" for name, number in zip(read, numbers, strict=True)]
        return {**fields, way: " ".join([*each, unit])}

    def _read_places(self, typed: Typed) -> Iterator[str]:
        """Places that are asked now and were read, and read again."""
        asked = {line.name for line in self.places(typed)}
        return (name for name in typed if name.partition(AGAIN)[0] in asked)

    def seen(self, typed: Typed) -> tuple[dict[str, str], tuple[Arc, ...]]:
        """The places that make the face as bad as it is, and where it is low."""
        measure = self.knowledge.signs[self.sign].measure
        assert measure is not None  # a face is held against a limit
        limit = Limit(measure.limit, measure.unit, measure.median, measure.factor)
        read = from_texts(FaceRead, self.filled(self.readings(typed)))
        found = measured(read, limit.typed, self.knowledge.trade_numbers.flatness)
        return {place.name: FAR for place in found.worst}, tuple(Arc(place.turn) for place in found.low)


class Reader:
    """Reads a height, or a gap as a number or from one blade to the next."""

    def __init__(self, highest: float, *, signed: bool) -> None:
        self._highest, self._signed = highest, signed
        self._one = number_in("m", "0.005 in", signed=signed)

    def __call__(self, text: str) -> list[float]:
        """Both ends, m. MeasureError: no length, more than a face can be out, or the larger blade first."""
        number, unit = parted(text) or (text, "")
        ends = number.split("..") if ".." in number and not self._signed else [number]
        found = [self._one(f"{end} {unit}".strip()) for end in ends]
        if max(map(abs, found)) > self._highest:
            most = f"{self._highest * 1000:g} mm"
            raise MeasureError(f"'{text[:40]}' is more than any face is out ({most}); look at number and unit")
        if found[0] > found[-1]:
            raise MeasureError(f"'{text[:40]}' goes down; write the blade that enters first")
        return found


def _place(name: str) -> str:
    return name.partition(AGAIN)[0]


def _hours(number: int) -> range:
    """Minutes past 12 of so many places, evenly."""
    return range(0, 720, 720 // number)


def _clocks(text: str) -> tuple[float, ...]:
    return tuple(map(read_clock, text.replace(",", " ").split()))
