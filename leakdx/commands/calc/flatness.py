"""``leakdx calc flatness``: how flat a face is, and whether a gasket may go on it."""

import math
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence
from itertools import pairwise

from leakdx.commands.calc import joint
from leakdx.commands.calc.facemap import drawn, labels
from leakdx.commands.calc.sheet import CHANCE, GAP, Row, Sheet, shown
from leakdx.commands.calc.typed import argument, number_in
from leakdx.knowledge.model import Knowledge
from leakdx.measured import around
from leakdx.measured.around import Typed
from leakdx.measured.axle import COUNT, LIMIT, RADIUS
from leakdx.measured.face import FaceRead, Limit, Measured, Rule, measured
from leakdx.measured.fields import from_names
from leakdx.mechanics.band import Band
from leakdx.mechanics.flat_enough import SURE, Judged, Verdict, gauge_to_settle, judged, times_to_settle
from leakdx.mechanics.flatness import Spot
from leakdx.mechanics.places import Place, clock

_NAMED = 3
"""Places that a row has room for."""
ABOUT = """\
Say how flat a face is, where it is high and low, and with what chance it is beyond the
limit: from heights of a dial at places round it (--dial), from gaps under a straight
edge (--gaps), or from one blade that enters or does not (--blade). A place is a clock
position (4:30) or a fastener (n5, with --count); one read again counts for more."""
EXAMPLES = """\
examples:
  leakdx calc flatness --dial 12=0 1:30=1.5 3=2 4:30=4.5 6=1 7:30=0 9=-1 10:30=0.5 thou
  leakdx calc flatness --gaps 12=0 2=0.002 4=0.004..0.005 6=0 8=0 10=0.001 in
  leakdx calc flatness --blade 0.13mm --enters n5 n6 --stays-out n1 n9 n13 --count 16
"""
FROM_AXLE = {"count": COUNT, "radius": RADIUS, "limit": LIMIT}
_BY, _FACE = "flatness", "face"
_MOST_TIMES = 9
"""Readings of one place that somebody may be asked for."""
_WIDEST_BETWEEN = math.radians(95)
"""Readings farther apart than about a quarter leave a side of the joint unseen."""
_FINEST = 2.5e-6
"""m; what the best reading that a shop can take is good to."""


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    length = number_in("m", "0.001in")
    command.add_argument("--dial", nargs="+", metavar="PLACE=HEIGHT", help="heights, higher is more, the unit last")
    command.add_argument(
        "--gaps", nargs="+", metavar="PLACE=GAP", help="the unit last; 4..5: a blade of 4 enters, one of 5 does not"
    )
    command.add_argument("--blade", type=argument(around.length), help="the one blade that was tried")
    command.add_argument("--enters", nargs="+", default=[], metavar="PLACE", help="where it goes in")
    command.add_argument("--stays-out", nargs="+", default=[], metavar="PLACE", help="where it does not")
    command.add_argument("--face", choices=tuple(_faces(known)), default="housing", help="which of the two")
    command.add_argument("--gauge", type=length, help="what one reading is good to (one standard deviation)")
    command.add_argument(
        "--limit", type=argument(around.length), help="by the axle maker's manual (default: the knowledge has it)"
    )
    joint.arguments(command)


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    limit = _limit(args)
    found = _measured(args, limit)
    judging = judged(found.seen, _faces(args.known)[args.face].usual, limit.metres)
    words = [
        *_verdict(found, judging),
        *_again(args, found, judging, limit),
        *_doubts(args, found),
        *_beside(args, found),
    ]
    picture = drawn(labels(found), joint.outline(args, usual=1.0), _metric(args, found), _legend(found))
    return Sheet(_title(args, found), _rows(found, judging, limit), words, picture, _more(found))


def svg(args: Namespace) -> str:
    """The face as a map."""
    from leakdx.diagrams.face import Mark, face_svg

    found = _measured(args, _limit(args))
    seen = labels(found)
    metric = _metric(args, found)
    depths = [-label.low if found.face else label.low for label in seen]
    most, least = max(depths), min(depths)
    marks = [
        Mark(label.place.turn, label.place.radius, (depth - least) / ((most - least) or 1), label.said(metric),
             label.place.name, label.carries)
        for label, depth in zip(seen, depths, strict=True)
    ]  # fmt: skip
    says = f"{'lower' if found.face else 'wider'} is darker; {GAP.written(metric)}: {_legend(found)}"
    return face_svg(marks, joint.outline(args, usual=1.0), _title(args, found), says.replace("*", "thick"))


def _measured(args: Namespace, limit: Typed) -> Measured:
    return measured(from_names(FaceRead, args), limit, args.known.trade_numbers.flatness)


def _limit(args: Namespace) -> Typed:
    """The limit that was given, or the one that the diagnosis holds such a face against."""
    if isinstance(args.limit, float):  # an axle family's, in m
        return Typed(f"{args.limit / 0.0254:.6g}", "in")
    return args.limit or _faces(args.known)[args.face].typed


def _faces(known: Knowledge) -> dict[str, Limit]:
    """The faces that the knowledge has a limit for."""
    found = {}
    for sign in known.signs.values():
        way, measure = sign.worked_out, sign.measure
        if way is not None and measure is not None and way.by == _BY:
            found[way.only[_FACE]] = Limit(measure.limit, measure.unit, measure.median, measure.factor)
    return found


def _metric(args: Namespace, found: Measured) -> bool:
    """What a map is drawn in: what is asked for, or what was typed."""
    return args.units == "metric" or (args.units == "both" and found.unit.endswith("m"))


def _title(args: Namespace, found: Measured) -> str:
    return f"{args.face.capitalize()} face, {found.way}"


def _legend(found: Measured) -> str:
    if found.face:
        return "height over the middle of the zone; *: these carry the figure"
    return "gap under a straight edge; *: the widest"


def _rows(found: Measured, judging: Judged, limit: Typed) -> list[Row]:
    rows = []
    if found.face:
        high, low = found.face.highest, found.face.lowest
        rows = [
            Row("minimum zone", found.face.zone, GAP),
            Row("about the least-squares plane", found.face.least_squares, GAP),
            Row(f"highest, at {_at(high)}", high[0].height, GAP),
            Row(f"lowest, at {_at(low)}", low[0].height, GAP),
        ]
    return [
        *rows,
        Row("limit", limit.metres, GAP),
        Row("the rule for a gasket", str(found.rule)),
        Row("true flatness", Band(judging.low, judging.likely, judging.high), GAP),
        Row("chance that it is beyond", judging.chance_beyond, CHANCE),
        Row("verdict", str(judging.verdict)),
    ]


def _verdict(found: Measured, judging: Judged) -> Iterator[str]:
    """What it means for a gasket. Doubt holds one back, and never lifts what the rule has stopped."""
    if found.rule is Rule.STOPS:
        yield "Read beyond the limit: no gasket on this face, and more sealant does not make it flat."
        yield "Stop and ask the axle maker."
        if judging.verdict is not Verdict.BEYOND:
            yield "That the gauge leaves it in doubt does not lift the stop."
    elif judging.verdict is Verdict.WITHIN:
        yield "Flat enough for a one-piece gasket, as far as these readings go."
    elif found.rule is Rule.UNASKED and judging.verdict is Verdict.BEYOND:
        yield "Beyond the limit, almost surely: no gasket on this face. Stop and ask the axle maker."
    else:
        yield "No gasket goes on until the face was measured again."
        if judging.chance_beyond <= 1 - SURE:
            yield "Such faces are mostly within, but by themselves these readings do not say it of this one."


def _again(args: Namespace, found: Measured, judging: Judged, limit: Typed) -> Iterator[str]:
    """How to measure again, where that can settle it."""
    if judging.verdict is Verdict.WITHIN or (judging.verdict is Verdict.BEYOND and found.rule is Rule.STOPS):
        return
    where = _names(found.worst)
    times = max(2, times_to_settle(found.seen.low, limit.metres, found.seen.spread))
    if args.blade is not None:
        yield "Measure again so: find the largest blade that enters and the next that does not, and give both (--gaps),"
        yield f"the edge turned end for end, a second person{f', at {where}' if where else ''}."
    elif times > _MOST_TIMES:
        wanted = gauge_to_settle(found.seen.low, limit.metres, _MOST_TIMES)
        if wanted < _FINEST:
            yield "It stands at the limit, where no number of readings settles it; what is doubtful counts as beyond."
        else:
            good = f"by a dial good to {shown(wanted, GAP, args.units)} or better"
            yield f"Measure again so: at {where}, {good}, {_MOST_TIMES} times each."
    elif found.face:
        yield f"Measure again so: {where} carry the figure; read each {times} times in all, and give every reading."
    else:
        yield "Measure again so: face and edge wiped, the edge turned end for end, a second person,"
        yield f"{times} readings in all at {where}."


def _doubts(args: Namespace, found: Measured) -> Iterator[str]:
    """Readings to look at again. They count all the same."""
    if found.face is None:
        return
    alone = found.face.alone
    if alone:
        away = (
            f"{shown(abs(alone.away), GAP, args.units)} {'over' if alone.away > 0 else 'under'} the plane of the others"
        )
        yield f"The reading at {alone.place.name} stands alone, {away}: dirt, a slip of the pen, or a real place."
        yield f"It counts; look there again. Without it the zone is {shown(alone.zone_without, GAP, args.units)}."
    if found.face.unsteady:
        yield f"Read again at {_names(found.face.unsteady)} it was not the same by far; one of the readings is wrong."


def _unread(found: Measured) -> Iterator[str]:
    """A side of the joint that the readings leave out."""
    turns = sorted({label.place.turn for label in labels(found)})
    wide, start = max(((after - turn) % math.tau or math.tau, turn) for turn, after in pairwise([*turns, turns[0]]))
    if wide > _WIDEST_BETWEEN:
        yield f"Nothing was read from {clock(start)} to {clock(start + wide)}, clockwise; the face there is not known."


def _beside(args: Namespace, found: Measured) -> Iterator[str]:
    yield from _unread(found)
    if found.face is None:
        yield "A straight edge across a ring rests on two places and sees no twist; where it rocks, read heights."
    if args.face == "carrier":
        yield "A carrier's face on the bench is seen from its other side: there the clock runs the other way round."
    yield "The axle maker's limit rules, where there is one."


def _more(found: Measured) -> dict[str, object]:
    def plain(value: float) -> float | None:
        return value if value < float("inf") else None

    seen = found.seen
    return {
        "seen": {"low": seen.low, "high": plain(seen.high), "spread": seen.spread},
        "places": [
            {"place": each.place.name, "low": each.low, "high": plain(each.high), "carries": each.carries}
            for each in labels(found)
        ],
    }


def _at(spots: Sequence[Spot]) -> str:
    """The places that are as high or as low, the first few by name."""
    rest = len(spots) - _NAMED
    return _names([spot.place for spot in spots[:_NAMED]]) + (f" and {rest} more" if rest > 0 else "")


def _names(places: Sequence[Place]) -> str:
    names = [place.name for place in places]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
