"""``leakdx calc flatness``: whether a face is flat enough, from readings round it."""

import math
from argparse import ArgumentParser, Namespace
from dataclasses import dataclass
from typing import TYPE_CHECKING

from leakdx.commands.calc.axle import COUNT, LIMIT, RADIUS
from leakdx.commands.calc.readings import Readings, first_turn, joint_arguments, outline, place, readings
from leakdx.commands.calc.sheet import CHANCE, LENGTH, Row, Sheet, three
from leakdx.commands.calc.typed import count, number_in
from leakdx.errors import UsageError
from leakdx.mechanics.flatness import Flatness, Judged, Limit, Reading, Verdict, flatness
from leakdx.mechanics.gaps import Gap, go, judge_gaps, no_go, widest
from leakdx.mechanics.outline import Outline, Point, clock, turn_of
from leakdx.mechanics.trade import trade

if TYPE_CHECKING:
    from leakdx.diagrams.face import FaceMap

ABOUT = """\
Say how flat a face is and whether that is within the limit, from heights at four
places or more: exact minimum zone and least squares, high and low places, how sure.
A place is a clock position (1:30), a fastener (f5, with --count), either at a radius of
its own (3@150mm). With --gaps: gaps under a straight edge, as a number, as the feeler
that goes in and the one that does not (0.004..0.005), or as go and no (--feeler)."""
EXAMPLES = """\
examples:
  leakdx calc flatness 12=0 1:30=1 3=2 4:30=4 6=3.5 7:30=2 9=1 10:30=0 thou
  leakdx calc flatness f1=0.00 f4=0.03 f7=0.09 f10=0.02 mm --count 12 --gauge 0.01mm
  leakdx calc flatness --gaps 12=no 3=no 6=go 9=no --feeler 0.005in
"""
FROM_AXLE = {"count": COUNT, "radius": RADIUS, "limit": LIMIT}
_FEELER = ("go", "no")
_METRIC = ("mm", "um", "µm", "μm", "cm", "m")
_WIDEST_BETWEEN = 0.26
"""Share of the way round; readings farther apart than a quarter leave a side unseen."""


def arguments(command: ArgumentParser) -> None:
    """What the command takes."""
    length = number_in("m", "0.005in")
    command.add_argument("readings", metavar="PLACE=VALUE", nargs="+", help="height at each place, unit last")
    joint_arguments(command)
    command.add_argument("--count", type=count, metavar="N", help="fasteners of the joint, where places count by them")
    command.add_argument("--gauge", type=length, help="what it is good to, either way (default: half the last digit)")
    command.add_argument("--limit", type=length, help="(default: 0.005in)")
    command.add_argument("--gaps", action="store_true", help="the values are gaps under a straight edge")
    command.add_argument("--feeler", type=length, help="its thickness, for go and no")


@dataclass(frozen=True)
class _Asked:
    """What was typed, understood."""

    readings: Readings
    places: tuple[tuple[str, Point], ...]
    joint: Outline
    gauge: float
    limit: Limit


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    from leakdx.diagrams.face import face_text

    asked = _asked(args)
    if args.gaps:
        gaps = _gaps(args, asked)
        judged = judge_gaps(gaps, asked.gauge, asked.limit)
        rows = _gap_rows(widest(gaps), asked)
        title, extra = f"Gaps under a straight edge at {len(gaps)} places", []
    else:
        found = flatness(_heights(asked), asked.gauge, asked.limit)
        judged, rows, extra = found.judged, _face_rows(found, asked), _odd_words(found)
        title = f"Flatness of a face from {len(found.readings)} readings"
    rows += _judged_rows(judged, asked, stops := _stops(args, judged, asked))
    words = [*_verdict_words(judged, stops, args.gaps), *extra, *_cover_words(asked)]
    more: dict[str, object] = {"verdict": str(judged.verdict), "rule": "stops" if stops else "passes"}
    return Sheet(title, rows, words, face_text(_map(args)), more)


def svg(args: Namespace) -> str:
    """The face as a map."""
    from leakdx.diagrams.face import face_svg

    return face_svg(_map(args))


def _asked(args: Namespace) -> _Asked:
    numbers = trade().flatness
    typed = readings(args.readings)
    joint, first = outline(args), first_turn(args)
    places = tuple(place(each.place, joint, args.count, first) for each in typed.typed)
    gauge = args.gauge if args.gauge is not None else (typed.last_digit / 2 if typed.unit else 0.0)
    limit = Limit(args.limit if args.limit is not None else numbers.limit_m, numbers.sure.share)
    return _Asked(typed, places, joint, gauge, limit)


def _by_feeler(value: str) -> bool:
    """Whether it is no number: go, no, or a pair of feelers."""
    return value in _FEELER or ".." in value


def _heights(asked: _Asked) -> list[Reading]:
    found = []
    for each, (name, (x, y)) in zip(asked.readings.typed, asked.places, strict=True):
        if _by_feeler(each.value):
            raise UsageError(f"reading at {name}: '{each.value}' is no height; gaps by feeler are read with --gaps")
        found.append(Reading(name, x, y, asked.readings.metres(each.value, name)))
    return found


def _gaps(args: Namespace, asked: _Asked) -> list[Gap]:
    found = []
    for each in asked.readings.typed:
        if each.value in _FEELER:
            if args.feeler is None:
                raise UsageError(f"reading at {each.place}: go and no need the feeler's thickness; give --feeler")
            found.append((go if each.value == "go" else no_go)(each.place, args.feeler))
            continue
        low, _, high = each.value.partition("..")
        ends = [asked.readings.metres(end, each.place) for end in (low, high or low)]
        if ends[0] < 0:
            raise UsageError(f"reading at {each.place}: a gap is not less than 0; write it as 3=0.004 in")
        found.append(Gap(each.place, *ends))
    return found


def _face_rows(found: Flatness, asked: _Asked) -> list[Row]:
    return [
        Row("flatness, minimum zone", found.zone.width, LENGTH),
        Row("by least squares", found.least_squares, LENGTH),
        Row("high at", _named(asked, found.high)),
        Row("low at", _named(asked, found.low)),
    ]


def _gap_rows(gap: Gap, asked: _Asked) -> list[Row]:
    where = Row("widest at", _named(asked, [gap.place]))
    if gap.low == gap.high:
        return [Row("widest gap", gap.low, LENGTH), where]
    feelers = ((gap.low, "feeler that goes in"), (gap.high, "feeler that does not"))
    return [where, *(Row(name, size, LENGTH) for size, name in feelers if size > 0 and math.isfinite(size))]


def _judged_rows(judged: Judged, asked: _Asked, stops: bool) -> list[Row]:
    good = Row("good to (19 times in 20)", 1.96 * judged.deviation, LENGTH)
    return [
        *([Row("a reading is good to", asked.gauge, LENGTH), good] if judged.deviation else []),
        Row("limit", asked.limit.value, LENGTH),
        Row("chance that it is beyond", judged.chance, CHANCE),
        Row("rule, as finely as it was read", "stops a gasket" if stops else "passes"),
        Row("verdict", str(judged.verdict)),
    ]


def _stops(args: Namespace, judged: Judged, asked: _Asked) -> bool:
    """The rule's use of the limit: a figure at the fineness it was typed in; a feeler that goes in by its thickness."""
    from leakdx.quantities import beyond, convert

    unit, limit = asked.readings.unit, asked.limit.value
    if args.gaps:
        gaps = zip(_gaps(args, asked), (each.value for each in asked.readings.typed), strict=True)
        return any(gap.low >= limit if _by_feeler(typed) else beyond(typed, unit, limit, "m") for gap, typed in gaps)
    figure = convert(f"{judged.figure:.12e}", "m", unit)
    return beyond(f"{figure:.{asked.readings.decimals}f}", unit, limit, "m")


def _verdict_words(judged: Judged, stops: bool, gaps: bool) -> list[str]:
    said = [_MEANS[judged.verdict]]
    if judged.verdict is Verdict.TOO_CLOSE:
        said.append(_again(judged, gaps))
    if stops and judged.verdict is not Verdict.BEYOND:
        said.append("By the rule it stops a gasket; a doubt does not lift that, only a better reading does.")
    return said


_MEANS = {
    Verdict.WITHIN: "Within the limit at the places that were read; look at both faces of the joint before a gasket.",
    Verdict.BEYOND: "Beyond the limit: a one-piece gasket is not recommended on this face; ask the axle's maker.",
    Verdict.TOO_CLOSE: "Too close to say: hold the gasket until it has been measured again.",
}


def _again(judged: Judged, gaps: bool) -> str:
    places = "the widest gap" if gaps else "the high and the low places"
    if judged.again is None:
        return f"Measure again so: {places}, with the feelers on either side of the limit or a finer gauge."
    often = f", or read each {judged.again} times and take the mean" if judged.again <= 9 else ""
    return f"Measure again so: {places}, with a gauge {three(judged.finer)} times as fine{often}."


def _odd_words(found: Flatness) -> list[str]:
    if found.odd is None:
        return []
    share = found.odd.without / found.zone.width if found.zone.width else 1.0
    return [
        f"The reading at {found.odd.place} does not go with the others: a burr, dirt or a slip; clean it and read it "
        f"again. It is counted; without it the flatness would be {three(100 * share)}% of the figure."
    ]


def _cover_words(asked: _Asked) -> list[str]:
    """What was not looked at, where the readings leave a side of the joint out."""
    turns = sorted(turn_of(point) for _, point in asked.places)
    spans = [(after - before, before) for before, after in zip(turns, [*turns[1:], turns[0] + 1], strict=True)]
    wide, start = max(spans)
    said = "Nothing is said of places that were not read"
    if wide > _WIDEST_BETWEEN:
        return [f"{said}: none stands between {clock(start)} and {clock(start + wide)}, clockwise."]
    return [f"{said}. The axle maker's manual rules where it gives another limit."]


def _named(asked: _Asked, names: tuple[str, ...] | list[str]) -> str:
    """Places with their clock positions, where they are not clock positions themselves."""
    where = dict(asked.places)
    return ", ".join(f"{name} ({clock(turn_of(where[name]))})" if name[0] == "f" else name for name in names)


def _map(args: Namespace) -> "FaceMap":
    from leakdx.diagrams.face import FaceMap, Spot

    asked = _asked(args)
    metric = asked.readings.unit in _METRIC
    unit, size, form = ("µm", 1e-6, ".1f") if metric else ("thou", 25.4e-6, ".1f")
    if args.gaps:
        gaps = _gaps(args, asked)
        judged, values = judge_gaps(gaps, asked.gauge, asked.limit), [each.figure for each in gaps]
        shown = [each.value if each.value in _FEELER else "" for each in asked.readings.typed]
        marks = {widest(gaps).place: "widest"}
    else:
        found = flatness(_heights(asked), asked.gauge, asked.limit)
        judged, values = found.judged, [float(height) for height in found.zone.heights]
        shown, form = [""] * len(values), "+.1f"
        marks = {**dict.fromkeys(found.high, "high"), **dict.fromkeys(found.low, "low")}
    spots = [
        Spot(name, x, y, value / size, text or f"{value / size:{form}}", marks.get(name, ""))
        for (name, (x, y)), value, text in zip(asked.places, values, shown, strict=True)
    ]
    figures = (LENGTH.shown(each, metric) for each in (judged.figure, asked.limit.value))
    flat, limit = (f"{three(each)} {LENGTH.written(metric)}" for each in figures)
    what = "widest gap" if args.gaps else "flatness"
    return FaceMap(f"Face map: {judged.verdict}", asked.joint, spots, unit, (f"{what} {flat}", f"limit {limit}",
                   str(judged.verdict)), not args.gaps)  # fmt: skip
