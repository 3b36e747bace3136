"""The picture of a case's flange: all that the log says of places round the joint since it was last closed."""

from collections.abc import Iterator
from contextlib import suppress

from leakdx.case import Case, Measurement
from leakdx.diagrams.flangemap import READ, STRETCHED, UNSURE, WEAK
from leakdx.diagrams.places import LOOSE, Dot, FaceHeights, Flange, Height, places_svg
from leakdx.errors import LeakdxError
from leakdx.interview.measuring.known import Known
from leakdx.knowledge.model import Knowledge
from leakdx.measured.around import places, readings
from leakdx.measured.face import FaceRead, Measured
from leakdx.measured.fields import from_texts
from leakdx.measured.joint import Joint
from leakdx.mechanics.audit import State
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.places import read_arc

_MARKS = {State.TURNS: LOOSE, State.LOST: WEAK, State.UNSURE: UNSURE, State.HOLDS: READ, State.STRETCHED: STRETCHED}
_ROUND, _OBLONG = ("radius",), ("high", "wide", "corner")
_EVEN, _CLOCK = ("count", "first"), ("clock",)
_SAME = 1e-6
"""rad."""


def flange_svg(case: Case, flange: Flange) -> str:
    """The flange of a case as SVG, the same for the same case."""
    return places_svg(flange, " - ".join(part for part in ("Flange", case.id, case.unit) if part))


def flange_of(knowledge: Knowledge, case: Case) -> Flange:
    """What is known of places; a bare ring where nothing is."""
    known = Known(knowledge, case)
    joint = _joint(known, case)
    try:
        line = joint.outline(usual=1.0)
        turns = joint.turns(line)
    except MeasureError:  # what does not fit together is said where it is written
        joint = Joint()
        line, turns = joint.outline(usual=1.0), ()
    marks = dict.fromkeys(known.weak, WEAK)
    if known.audit is not None:
        marks |= {each.number: _MARKS[each.state] for each in known.audit.fasteners}
    return Flange(
        line,
        joint.has_size,
        read_arc(known.wet, ()) if known.wet else None,
        tuple(Dot(turn, str(number), marks.get(number, READ)) for number, turn in enumerate(turns, 1)),
        (("weld", read_arc(known.weld, ())),) if known.weld else (),
        tuple(_heights(name, *read) for name, read in known.faces.items()),
    )


def _joint(known: Known, case: Case) -> Joint:
    """As far as measurements and the axle family say it; of two that differ the later."""
    texts: dict[str, str] = {}
    for entry in case.standing:
        if isinstance(entry, Measurement):
            with suppress(LeakdxError):
                told = known.filled(entry)
                for own, other in ((_ROUND, _OBLONG), (_OBLONG, _ROUND), (_EVEN, _CLOCK), (_CLOCK, _EVEN)):
                    if told.get(own[0]):
                        texts = {name: text for name, text in texts.items() if name not in (*own, *other)}
                        texts |= {name: told[name] for name in own if name in told}
    if known.audit is not None and not texts.get("clock"):
        texts["count"] = str(len(known.audit.fasteners))
    with suppress(LeakdxError):
        texts = dict(known.with_axle(texts))
    try:
        return from_texts(Joint, texts)
    except LeakdxError:
        return Joint()


def _heights(name: str, read: FaceRead, found: Measured) -> FaceHeights:
    """The readings of a face as they were typed."""
    low = [place.turn for place in found.low]
    heights = tuple(Height(turn, text, any(abs(turn - other) < _SAME for other in low)) for turn, text in _typed(read))
    what = {"dial": "heights", "gaps": "gaps under the straight edge"}.get(_way(read))
    return FaceHeights(name, f"{what} ({found.unit})" if what else _blade(read), heights)


def _way(read: FaceRead) -> str:
    return "dial" if read.dial is not None else "gaps" if read.gaps is not None else "blade"


def _blade(read: FaceRead) -> str:
    blade = read.blade
    return f"where a blade of {blade.text} {blade.unit} goes in" if blade else "readings"


def _typed(read: FaceRead) -> Iterator[tuple[float, str]]:
    """Turn and text of each reading."""
    for each in readings(read.dial or read.gaps or (), read, "the face") if read.blade is None else ():
        both = (each.low.text,) if each.low is each.high else (each.low.text, each.high.text)
        yield each.place.turn, "..".join(both)
    if read.blade is not None:
        yield from ((place.turn, "in") for place in places(read.enters, read, "enters"))
        yield from ((place.turn, "no") for place in places(read.stays_out, read, "stays_out"))
