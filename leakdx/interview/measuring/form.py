"""What every measurement has in common: its lines, its map, what it comes to so far, and the entries it writes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from leakdx.case import Case, LogEntry, Measurement, Reading
from leakdx.diagrams.flangemap import LOW, READ, UNREAD, WEAK, WORDS, Stretch
from leakdx.interview.measuring.known import Known
from leakdx.interview.measuring.line import LENGTH, Choice, Line, System, Typed
from leakdx.interview.question import ReplyError
from leakdx.knowledge.model import Axle, Knowledge
from leakdx.measured.axle import COUNT as COUNT_OF
from leakdx.measured.axle import RADIUS as RADIUS_OF
from leakdx.measured.joint import Joint
from leakdx.measured.typed import count, number_in
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.places import Arc
from leakdx.store.settings import Ways

SHAPE, ROUND, OBLONG = "shape", "round", "oblong"
COUNT, HIGH, WIDE, TOOL, CALIBRATED = "count", "high", "wide", "tool", "calibrated"
JOINT = (COUNT, SHAPE, HIGH, WIDE)
"""Lines about the joint itself, which every measurement of the case shares."""
AGAIN = "#"
"""Between a place and the number of a further reading of it: 4:30#2."""


@dataclass(frozen=True)
class SoFar:
    """What the readings come to so far.

    ``marks``: place -> mark on the map; ``low``: where a face is low; ``wrong``: why it comes to nothing yet.
    """

    said: tuple[str, ...] = ()
    marks: Mapping[str, str] = field(default_factory=dict)
    low: tuple[Arc, ...] = ()
    wrong: str = ""


class MapSpot(NamedTuple):
    """A place on the map: its name as typed, where it is, its mark, and what was read there."""

    name: str
    turn: float
    mark: str
    read: str


class Drawn(NamedTuple):
    """What stands on the map of the flange; ``words``: what each mark says."""

    line: Outline
    spots: tuple[MapSpot, ...]
    stretches: tuple[Stretch, ...]
    words: Mapping[str, str]


class Form:
    """One kind of measurement on one case. Subclasses say which lines it has and what is made of them.

    ``key``: names its draft. A name of a line that is a place is its place as typed by the clock (4:30) or by
    fastener (n5).
    """

    def __init__(self, knowledge: Knowledge, case: Case, sign: str, key: str, title: str) -> None:
        self.knowledge, self.case, self.sign, self.key, self.title = knowledge, case, sign, key, title
        self.axle: Axle | None = knowledge.axles.get(case.axle or "")
        self.known = Known(knowledge, case)

    # -- lines -------------------------------------------------------------------------------------------

    def lines(self, typed: Typed) -> tuple[Line, ...]:
        """Everything that is asked, in order, as it follows from what is typed already."""
        asked = [*self.settings(typed), *self.joint_lines(typed), *self.places(typed)]
        return (*asked, *self._further(asked, typed), *self._tool_lines())

    def settings(self, typed: Typed) -> Iterator[Line]:
        """What is asked before the places."""
        return iter(())

    def places(self, typed: Typed) -> Iterator[Line]:
        """The places on the map."""
        return iter(())

    def joint_lines(self, typed: Typed) -> Iterator[Line]:
        """How the joint looks, as far as the axle family does not say."""
        own = self.axle.values if self.axle else {}
        if COUNT_OF.value not in own and self.needs_count(typed):
            yield Line(
                name=COUNT, label="fasteners", asked="How many fasteners has the joint?", read=_ring, needed=True
            )
        if RADIUS_OF.value in own:
            return
        shapes = (Choice(ROUND, "round"), Choice(OBLONG, "oblong"))
        yield Line(name=SHAPE, label="joint", asked="Is the joint round or oblong?", choices=shapes, usual=ROUND)
        if typed.get(SHAPE) == OBLONG:
            for name, asked in ((HIGH, "From the top fasteners to the bottom ones"), (WIDE, "The same across")):
                yield Line(name=name, label=name, asked=asked, read=number_in("m", "400mm"), units=LENGTH, needed=True)

    def needs_count(self, typed: Typed) -> bool:
        """Whether the number of fasteners has to be known."""
        return True

    def _further(self, asked: Sequence[Line], typed: Typed) -> Iterator[Line]:
        """Places that were read more than once, or beside those that are asked."""
        at = {line.name: line for line in asked if line.turn is not None}
        for name in typed:
            place, again, times = name.partition(AGAIN)
            if again and place in at:
                line = at[place]
                label = f"{line.label} ({times})"
                yield Line(name=name, label=label, asked=line.asked, read=line.read, units=line.units, turn=line.turn)

    def _tool_lines(self) -> Iterator[Line]:
        yield Line(name=TOOL, label="tool", asked="With which tool? Its name and number, as feeler 12; may be left out")
        asked = "Date on its certificate, as 2026-01-12; may be left out"
        yield Line(name=CALIBRATED, label="calibrated", asked=asked, read=_date)

    def begun(self) -> dict[str, str]:
        """What stands there before anything is typed: the joint, and the tool of the last measurement of the kind."""
        begun: dict[str, str] = {}
        for entry in self.case.standing:
            if isinstance(entry, Measurement) and not begun.keys() & JOINT:
                begun.update({name: entry.readings[name] for name in JOINT if name in entry.readings})
            if self.is_alike(entry) and isinstance(entry, Measurement | Reading):
                begun.update({TOOL: entry.tool, CALIBRATED: entry.calibrated})
        if HIGH in begun:
            begun[SHAPE] = OBLONG
        return {name: text for name, text in begun.items() if text}

    def is_alike(self, entry: LogEntry) -> bool:
        """Whether an entry is a measurement of this kind."""
        raise NotImplementedError

    # -- typing ------------------------------------------------------------------------------------------

    def put(self, typed: Typed, line: Line, text: str, system: System, ways: Ways) -> dict[str, str]:
        """What is typed, with a text on a line. 4:30=0.006 on a place reads another place, or reads it again.

        Raises ReplyError with one sentence; nothing is taken then.
        """
        kept = dict(typed)
        place, names_one, value = text.partition("=")
        name = line.name
        if line.turn is not None and names_one:
            line = self._meant(typed, place.strip())
            name, text = _next_free(line.name, kept), value
        taken = line.taken(text, system, ways)
        if taken:
            kept[name] = taken
        else:
            kept.pop(name, None)
        return kept

    def still(self, typed: Typed) -> dict[str, str]:
        """What was typed earlier, as far as it can be so today: knowledge and truck may be others by now."""
        kept: dict[str, str] = {}
        left = dict(typed)
        while fits := [name for name, text in left.items() if self._fits(kept, name, text)]:
            kept.update({name: left.pop(name) for name in fits})
        return {name: kept[name] for name in typed if name in kept}

    def _fits(self, kept: Typed, name: str, text: str) -> bool:
        place = name.partition(AGAIN)[0]
        return any(line.name == place and line.can_hold(text) for line in self.lines(kept))

    def _meant(self, typed: Typed, place: str) -> Line:
        lines = {line.name: line for line in self.lines(typed) if line.turn is not None}
        if place not in lines:
            raise ReplyError(f"'{place[:20]}' is none of the places; type one of {', '.join(list(lines)[:30])}")
        return lines[place]

    # -- the map -----------------------------------------------------------------------------------------

    def drawn(self, typed: Typed, found: SoFar) -> Drawn:
        """What stands on the map."""
        lines = [line for line in self.places(typed) if line.turn is not None]
        marks = self.marks(typed, found)
        if lines:
            turns = {line.name: line.turn or 0.0 for line in lines}
        else:
            turns = {f"n{number}": turn for number, turn in enumerate(self.turns(typed), 1)}
        spots = tuple(MapSpot(name, turn, marks[name], typed.get(name, "")) for name, turn in turns.items())
        words = WORDS if lines else {**WORDS, READ: "fastener"}
        return Drawn(self.outline(typed), spots, tuple(self.stretches(typed, found)), words)

    def stretches(self, typed: Typed, found: SoFar) -> Iterator[Stretch]:
        """The wet arc, what is low, the weld: what the case knows, and what these readings say."""
        yield from (stretch for stretch in self.known.stretches() if stretch.mark != LOW or not found.low)
        yield from (Stretch(LOW, arc) for arc in found.low)

    def outline(self, typed: Typed) -> Outline:
        """The line of the fasteners, of any size where none is known."""
        try:
            return self.joint(typed).outline(usual=1.0)
        except MeasureError:
            return Joint().outline(usual=1.0)

    def joint(self, typed: Typed) -> Joint:
        """The joint as far as it is known. Raises MeasureError."""
        number_of = self.fastener_count(typed)
        high, wide = (typed.get(name) if typed.get(SHAPE) == OBLONG else None for name in (HIGH, WIDE))
        length = number_in("m", "400mm")
        return Joint(
            count=number_of, high=length(high) if high and wide else None, wide=length(wide) if high and wide else None
        )

    def fastener_count(self, typed: Typed) -> int | None:
        """By the axle family, or as typed."""
        own = self.axle.values.get(COUNT_OF.value) if self.axle else None
        if own is not None:
            return round(own.value)
        return count(typed[COUNT]) if COUNT in typed else None

    def turns(self, typed: Typed) -> tuple[float, ...]:
        """Where the fasteners stand, rad clockwise from 12; none where their number is not known."""
        try:
            return _turns(self.joint(typed))
        except MeasureError:
            return ()

    def marks(self, typed: Typed, found: SoFar) -> dict[str, str]:
        """Place -> its mark: what was found there, or whether it was read."""
        read = {line.name: READ if line.name in typed else UNREAD for line in self.places(typed)}
        weak = {f"n{n}": WEAK if n in self.known.weak else READ for n in range(1, len(self.turns(typed)) + 1)}
        return (read or weak) | dict(found.marks)

    # -- what it comes to --------------------------------------------------------------------------------

    def found(self, typed: Typed) -> SoFar:
        """What the readings come to so far. Never raises: what stands against it is said."""
        raise NotImplementedError

    def entries(self, typed: Typed) -> list[LogEntry]:
        """What is written into the log. Raises ReplyError with one sentence."""
        raise NotImplementedError

    def refuse_missing(self, typed: Typed) -> None:
        """ReplyError where a line that is needed has nothing."""
        for line in self.lines(typed):
            if line.needed and line.name not in typed:
                raise ReplyError(f"'{line.label}' is not typed yet; {line.asked[:1].lower()}{line.asked[1:]}")


@lru_cache(16)
def _turns(joint: Joint) -> tuple[float, ...]:
    """Kept, since they are looked at with every letter that is typed."""
    return joint.turns(joint.outline(usual=1.0))


def _ring(text: str) -> int:
    number_of = count(text)
    if not 3 <= number_of <= 60:
        raise MeasureError(f"{number_of} fasteners are no joint; count those of the ring, from 3 to 60")
    return number_of


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise MeasureError(f"'{text[:20]}' is no date; write it as 2026-01-12") from error


def _next_free(name: str, typed: Typed) -> str:
    """The name itself, or that of the next further reading of it."""
    times, free = 1, name
    while free in typed:
        times += 1
        free = f"{name}{AGAIN}{times}"
    return free
