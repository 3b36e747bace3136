"""``leakdx calc place``: whether the wet place stands with what is weak, or only chance brought them so near."""

import math
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from dataclasses import dataclass

from leakdx.commands.calc import joint
from leakdx.commands.calc.sheet import CHANCE, SHARE, Row, Sheet
from leakdx.commands.calc.typed import count
from leakdx.diagrams.canvas import without_margin
from leakdx.diagrams.flangemap import READ, WEAK, WET, Spot, Stretch, flange_map
from leakdx.errors import UsageError
from leakdx.knowledge.model import Knowledge
from leakdx.measured.axle import COUNT
from leakdx.measured.typed import numbers_in
from leakdx.mechanics.colocation import READ_TO, Gathered, Near, Wave, apart, chance_so_near, gathered, near, wave
from leakdx.mechanics.places import Arc, clock, index, read_arc

ABOUT = """\
Say whether the wet place stands with weak fasteners, the low place of a face or a weld,
or whether chance alone would often bring them so near: every way to place them is
counted. Places are clock positions (4:30), stretches of them clockwise (10:30..1), or
fasteners (n5, n3..n6)."""
EXAMPLES = """\
examples:
  leakdx calc place --wet 3:30..5 --count 16 --weak 5 6 7
  leakdx calc place --wet 3:30..5 --weld 4 --low 4:30..6
  leakdx calc place --wet n5..n7 --count 16 \\
    --torques 225 220 230 180 90 80 140 215 225 228 222 219 224 226 221 223 lb-ft
"""
FROM_AXLE = {"count": COUNT}
SELDOM, NOW_AND_THEN = 0.1, 0.3
"""From which chance down something is said to stand with the wet place, or that it may."""
_ROWS, _COLUMNS = 20, 56
_TORQUE = "torque's low place"


@dataclass(frozen=True)
class Other:
    """Something else that has a place, and the chance that the wet place is so near to it by itself."""

    name: str
    arc: Arc
    gap: float
    chance: float


@dataclass(frozen=True)
class Found:
    """All that was asked for."""

    wet: Arc
    ring: tuple[float, ...]
    weak: tuple[int, ...]
    group: Gathered | None
    near: Near | None
    torque: Wave | None
    others: tuple[Other, ...]


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    command.add_argument("--wet", required=True, metavar="PLACE", help="where oil comes out of the joint")
    command.add_argument("--weak", type=count, nargs="+", metavar="N", help="numbers of the weak fasteners")
    command.add_argument("--torques", nargs="+", metavar="TORQUE", help="of all fasteners in order, the unit last")
    command.add_argument("--low", metavar="PLACE", help="the low place of a face (calc flatness)")
    command.add_argument("--weld", metavar="PLACE", help="where was welded")
    joint.arguments(command)


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    found = _found(args)
    return Sheet(_title(args, found), [*_rows(found)], [*_words(found)], _picture(args, found), _more(found))


def svg(args: Namespace) -> str:
    """The ring with all that has a place on it."""
    from leakdx.diagrams.places import Dot, Flange, places_svg

    found = _found(args)
    dots = [Dot(turn, str(number), WEAK if number in found.weak else READ) for number, turn in enumerate(found.ring, 1)]
    others = tuple((other.name, other.arc) for other in found.others)
    line, has_size = joint.outline(args, usual=1.0), joint.of(args).has_size
    return places_svg(Flange(line, has_size, found.wet, tuple(dots), others), f"Wet {_said(found.wet)}")


def _title(args: Namespace, found: Found) -> str:
    return f"Wet {_said(found.wet)}, held against {', '.join(_asked(args))}"


def _asked(args: Namespace) -> Iterator[str]:
    names = {"weak": "weak fasteners", "torques": "torques", "low": "the low place of a face", "weld": "a weld"}
    return (name for option, name in names.items() if getattr(args, option) is not None)


def _found(args: Namespace) -> Found:
    if not any(True for _ in _asked(args)):
        raise UsageError("give what the wet place is held against: --weak, --torques, --low or --weld")
    ring = joint.turns(args, joint.outline(args, usual=1.0))
    if not ring and (args.weak or args.torques):
        raise UsageError("--weak and --torques need the count of fasteners; give it, as --count 16")
    wet = read_arc(args.wet, ring)
    others = [_other(name, read_arc(text, ring), wet)
              for name, text in (("low place", args.low), ("weld", args.weld)) if text is not None]  # fmt: skip
    group, by, torque = None, None, None
    if args.weak:
        chosen = [index(number, ring) for number in args.weak]
        group, by = gathered(ring, chosen), near(ring, chosen, wet.at_least(READ_TO))
    if args.torques:
        torque = wave(ring, _torques(args.torques, len(ring)))
        others.append(_other(_TORQUE, Arc(torque.lowest), wet))
    return Found(wet, ring, tuple(sorted({*(args.weak or ())})), group, by, torque, tuple(others))


def _torques(words: list[str], count: int) -> list[float]:
    read = numbers_in(words, "N*m", "--torques", "225 220 0 lb-ft, the unit last")
    if len(read) != count:
        raise UsageError(f"--torques: {len(read)} readings for {count} fasteners; give one for each, in order")
    return read


def _other(name: str, arc: Arc, wet: Arc) -> Other:
    there, here = wet.at_least(READ_TO), arc.at_least(READ_TO)
    return Other(name, arc, apart(there, here), chance_so_near(there, here))


def _rows(found: Found) -> Iterator[Row]:
    if found.group and found.near:
        middle = found.group.middle
        yield Row("weak fasteners", " ".join(map(str, found.weak)))
        yield Row("they gather round", "nowhere" if middle is None else clock(middle))
        yield Row("chance that so many keep so together", found.group.chance, CHANCE)
        yield Row("of them in the wet place", f"{found.near.inside} of {len(found.weak)}")
        yield Row("chance to be so near, each by itself", found.near.chance_each, CHANCE)
        yield Row("chance to be so near, turned as one group", found.near.chance_turned, CHANCE)
    if found.torque:
        yield Row("of the torques' spread, in one wave", found.torque.share, SHARE)
        yield Row("chance of such a wave", found.torque.chance, CHANCE)
    for other in found.others:
        yield Row(f"{other.name}, {_said(other.arc)}", _gap(other.gap))
        yield Row(f"{other.name}: chance to be so near", other.chance, CHANCE)


def _words(found: Found) -> Iterator[str]:
    if found.near:
        yield _sentence("Weak fasteners", found.near.chance)
        if found.near.chance_turned > 2 * found.near.chance_each:
            yield "They stand side by side and are counted as one group, since neighbours grow weak together."
        if len(found.weak) > len(found.ring) / 2:
            yield "Most of the ring is weak, which is no place: think of the tool, or of sealing that gave way."
    for other in found.others:
        if other.name == _TORQUE and found.torque and found.torque.chance > SELDOM:
            yield "The torques follow no wave round the ring, so that their lowest place says little."
        else:
            yield _sentence(f"{other.name[0].upper()}{other.name[1:]}", other.chance)
    yield "Chance takes every place as likely as any other; oil runs down, so take as wet where it comes out."
    yield "Two things in one place are a sign and no proof; what made them is still to be found."


def _sentence(name: str, chance: float) -> str:
    how = "with" if chance <= SELDOM else "perhaps with" if chance <= NOW_AND_THEN else "no sign that it stands with"
    often = f"one time in {round(1 / chance)}" if chance < 0.5 else "more often than not"
    return f"{name}: {how} the wet place; chance alone brings the two so near {often}."


def _said(arc: Arc) -> str:
    """4:30, or 3 to 4:30."""
    return clock(arc.start) if not arc.width else f"{clock(arc.start)} to {clock(arc.start + arc.width)}"


def _gap(gap: float) -> str:
    return "in the wet place" if gap == 0 else f"{math.degrees(gap):.0f}° from the wet place"


def _picture(args: Namespace, found: Found) -> list[str]:
    """The joint, 12 o'clock on top."""
    spots = [
        Spot(str(number), turn, f"{WEAK if number in found.weak else READ}{number}")
        for number, turn in enumerate(found.ring, 1)
    ]
    stretches = [Stretch(WET, found.wet), *(Stretch(other.name[0].upper(), other.arc) for other in found.others)]
    drawn = flange_map(joint.outline(args, usual=1.0), spots, stretches, _COLUMNS, _ROWS)
    legend = ["~ wet", *(["o fastener"] if found.ring else []), *(["X weak"] if found.weak else [])]
    legend += [f"{other.name[0].upper()} {other.name}" for other in found.others]
    return [*without_margin(drawn.rows), "", ", ".join(legend)]


def _more(found: Found) -> dict[str, object]:
    return {
        "weak": list(found.weak),
        "together": found.group and {"middle": found.group.middle, "length": found.group.length},
        "others": [{"name": each.name, "gap": each.gap, "chance": each.chance} for each in found.others],
    }
