"""A face by any of the three ways of measuring it, and what the rule for a gasket says of it as it was read."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from leakdx.measured import around
from leakdx.measured.around import Read, Typed
from leakdx.measured.fields import text, typed_as, words
from leakdx.measured.joint import Joint
from leakdx.measured.typed import number_in
from leakdx.mechanics.flat_enough import Usual
from leakdx.mechanics.flatness import Face, Gap, Height, Seen, face, largest
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.places import Place
from leakdx.mechanics.trade import Flatness
from leakdx.quantities import convert

WAYS = ("dial", "gaps", "blade")


@dataclass(frozen=True, kw_only=True)
class FaceRead(Joint):
    """One face as it was read by one of WAYS. ``gauge``: what one reading is good to, m."""

    face: str = typed_as(text, "housing")
    dial: Sequence[str] | None = typed_as(words)
    gaps: Sequence[str] | None = typed_as(words)
    blade: Typed | None = typed_as(around.length)
    enters: Sequence[str] = typed_as(words, ())
    stays_out: Sequence[str] = typed_as(words, ())
    gauge: float | None = typed_as(number_in("m", "0.0005in"))


@dataclass(frozen=True)
class Limit:
    """What a face is held against: the limit, and what is usual of such faces (median, factor of one sigma)."""

    limit: float
    unit: str
    median: float
    factor: float

    @property
    def typed(self) -> Typed:
        """The limit as it is written."""
        return Typed(f"{self.limit:g}", self.unit)

    @property
    def usual(self) -> Usual:
        """How far such faces lie out before one is measured."""
        return Usual(Typed(f"{self.median:g}", self.unit).metres, self.factor)


class Rule(StrEnum):
    """What was read against the limit, at the fineness it was read in."""

    STOPS = "stops it"
    PASSES = "lets it pass"
    UNASKED = "cannot be asked"


@dataclass(frozen=True)
class Measured:
    """A face and what was read on it.

    ``value``: the figure as a gauge of this fineness shows it; ``unit``: as typed; ``spots``: what was read at each
    place; ``worst``: the places that make the face as bad as it is; ``face``: where heights were read.
    """

    way: str
    value: Typed
    seen: Seen
    rule: Rule
    worst: tuple[Place, ...]
    gaps: tuple[Gap, ...] = ()
    face: Face | None = None

    @property
    def unit(self) -> str:
        """As typed."""
        return self.value.unit

    @property
    def low(self) -> tuple[Place, ...]:
        """Where the face is low: the lowest height, or where the widest gap or a blade goes in."""
        return tuple(spot.place for spot in self.face.lowest) if self.face else self.worst


def measured(read: FaceRead, limit: Typed, numbers: Flatness) -> Measured:
    """What was measured, by the one way that was given, against a limit. MeasureError where it cannot be."""
    given = [way for way in WAYS if getattr(read, way) is not None]
    if len(given) != 1:
        raise MeasureError("give one of --dial, --gaps and --blade; 'leakdx calc flatness -h' shows each")
    if read.blade is not None:
        return _by_blade(read, read.blade, limit, numbers)
    if read.enters or read.stays_out:
        raise MeasureError("--enters and --stays-out belong to --blade; give its thickness, as --blade 0.005in")
    if read.dial is not None:
        return _by_dial(around.readings(read.dial, read, "--dial"), read, limit, numbers)
    return _by_gaps(around.readings(read.gaps or (), read, "--gaps"), read, limit, numbers)


def _by_dial(each_read: Sequence[Read], read: FaceRead, limit: Typed, numbers: Flatness) -> Measured:
    for at, each in enumerate(each_read, 1):
        if each.low is not each.high:
            raise MeasureError(f"--dial, reading {at}: a dial shows one number; write it as {each.place.name}=1.5")
    heights = [Height(each.place, each.low.metres) for each in each_read]
    found = face(heights, _gauge(read, numbers.dial.metres), numbers.highest.metres)
    unit, digits = each_read[0].low.unit, max(each.low.decimals for each in each_read)
    zone = Typed(f"{convert(f'{found.zone:.12e}', 'm', unit):.{digits}f}", unit)
    way = f"heights at {len(found.spots)} places"
    return Measured(way, zone, found.seen, _rule(zone, limit), found.carriers, face=found)


def _by_gaps(each_read: Sequence[Read], read: FaceRead, limit: Typed, numbers: Flatness) -> Measured:
    for at, each in enumerate(each_read, 1):
        if each.low.metres < 0:
            raise MeasureError(f"--gaps, reading {at}: '{each.low.text} {each.low.unit}' is less than 0; "
                               "write 0 where nothing goes in")  # fmt: skip
    gaps = tuple(Gap(each.place, each.low.metres, each.high.metres) for each in each_read)
    seen = largest(gaps, _gauge(read, numbers.feeler.metres), numbers.highest.metres)
    widest = max(each_read, key=lambda each: each.low.metres).low
    worst = tuple(gap.place for gap in gaps if gap.high == seen.high)
    way = f"gaps under a straight edge at {len(gaps)} places"
    return Measured(way, widest, seen, _rule(widest, limit), worst, gaps)


def _by_blade(read: FaceRead, blade: Typed, limit: Typed, numbers: Flatness) -> Measured:
    """A blade as thick as the limit that enters anywhere stops the gasket; a thinner one that enters says little."""
    into = around.places(read.enters, read, "--enters")
    out = around.places(read.stays_out, read, "--stays-out")
    for place in out:
        if any((place.turn, place.radius) == (other.turn, other.radius) for other in into):
            raise MeasureError(f"the blade both enters and stays out at {place.name}; try it again there")
    inside = [Gap(each, blade.metres, float("inf")) for each in into]
    gaps = (*inside, *(Gap(each, 0, blade.metres) for each in out))
    seen = largest(gaps, _gauge(read, numbers.feeler.metres), numbers.highest.metres)
    if into:
        rule = Rule.UNASKED if blade.is_below(limit) else Rule.STOPS
    else:
        rule = Rule.UNASKED if blade.is_beyond(limit) else Rule.PASSES
    return Measured(f"one blade tried at {len(gaps)} places", blade, seen, rule, tuple(into), gaps)


def _gauge(read: FaceRead, usual: float) -> float:
    return usual if read.gauge is None else read.gauge


def _rule(value: Typed, limit: Typed) -> Rule:
    return Rule.STOPS if value.is_beyond(limit) else Rule.PASSES
