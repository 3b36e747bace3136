"""``leakdx calc level``: where the oil stands against the joint, on the level and at a grade."""

import math
from argparse import ArgumentParser, Namespace

from leakdx.commands.calc.sheet import LENGTH, PRESSURE, Row, Sheet
from leakdx.commands.calc.typed import number_in, percent
from leakdx.errors import UsageError
from leakdx.explain.numbers import number
from leakdx.knowledge.model import Knowledge
from leakdx.mechanics import level, oil, seep
from leakdx.mechanics.level import Joint
from leakdx.mechanics.places import HOURS, clock

ABOUT = """\
Say how much of the joint stands in oil, as clock positions seen from the pinion, on the
level and at a grade (minus: downhill), and how far a sloping floor misleads the check."""
EXAMPLES = """\
examples:
  leakdx calc level --radius 180mm --ahead 120mm --oil 60mm --grade -6
  leakdx calc level --radius 7.1in --ahead 4.7in --oil 2.4in --grade 6 --pinion rear
"""
_ROWS, _COLUMNS, _STEPS = 11, 23, 360


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    length = number_in("m", "120mm")
    either = number_in("m", "120mm", signed=True)
    command.add_argument("--radius", type=length, required=True, help="of the joint's ring")
    command.add_argument("--ahead", type=length, required=True, help="from the axle's line to the joint's face")
    command.add_argument("--oil", type=either, required=True, help="height over the joint's lowest point, on the level")
    command.add_argument(
        "--grade", type=percent("-6"), default=0.0, metavar="PERCENT", help="of the road, minus: downhill"
    )
    command.add_argument("--pinion", choices=("front", "rear"), default="front", help="where it points")
    command.add_argument(
        "--plug",
        type=either,
        help="the fill plug from the axle's line towards the pinion (minus: away), for a check on this slope",
    )
    command.add_argument(
        "--grade-oil", choices=tuple(known.trade_numbers.oils), default="80W-90", help="for its weight"
    )


def sheet(args: Namespace) -> Sheet:
    """The command's answer; the height of the oil is that with the axle as it sits in the truck."""
    if args.plug is not None and not args.grade:
        raise UsageError("--plug is for a check on a slope, and on the level it reads right; give --grade, such as 3")
    joint, tilt = _tilted(args)
    weight = oil.density(args.known.trade_numbers.oils[args.grade_oil].density_15, 60)
    rows = _rows("on the level", joint, args.oil, 0, weight)
    at = level.height_at_joint(joint, args.oil, tilt)
    if args.grade:
        rows += _rows("at the grade", joint, at, tilt, weight)
    words = _words(joint, args.oil, at)
    if args.plug is not None:
        error = level.check_error(args.plug, tilt)
        rows.append(Row(f"level reads too {'low' if error < 0 else 'high'} by", abs(error), LENGTH))
        words += _plug_words(error)
    return Sheet(_title(args), rows, words, _picture(joint, at))


def svg(args: Namespace) -> str:
    """The joint and the oil as a picture."""
    from leakdx.diagrams.joint import level_svg

    joint, tilt = _tilted(args)
    return level_svg(joint, args.oil, level.height_at_joint(joint, args.oil, tilt), _title(args))


def _tilted(args: Namespace) -> tuple[Joint, float]:
    """The joint, and how far its pinion points down on this road."""
    ahead = 1 if args.pinion == "front" else -1
    return Joint(args.radius, args.ahead), -ahead * level.slope(args.grade)


def _title(args: Namespace) -> str:
    grade = f", {number(abs(args.grade), 'g')} % {'downhill' if args.grade < 0 else 'uphill'}" if args.grade else ""
    return f"Joint with the pinion to the {args.pinion}{grade}"


def _rows(when: str, joint: Joint, height: float, tilt: float, density: float) -> list[Row]:
    start, end = level.wet_clock(level.wet_half_angle(joint, height))
    words = " to ".join(clock(hour * math.tau / HOURS) for hour in (start, end))
    arc = "none" if height <= 0 else "all round" if end - start >= HOURS else words
    head = level.pressure_head(height, tilt)
    return [
        Row(f"{when}: oil over the lowest point", height, LENGTH),
        Row(f"{when}: arc in oil", arc),
        Row(f"{when}: pressure at the lowest point", seep.head(head, density), PRESSURE),
    ]


def _plug_words(error: float) -> list[str]:
    """What comes of filling to a plug at which the level reads too high by so much."""
    if error == 0:
        return ["At the axle's line itself the slope does not matter."]
    return [f"Filled to that plug on this slope, it holds too {'little' if error > 0 else 'much'} oil on the level."]


def _picture(joint: Joint, height: float) -> list[str]:
    """The joint seen from the pinion: o stands in oil, . does not."""
    grid = [[" "] * _COLUMNS for _ in range(_ROWS)]
    for step in range(_STEPS):
        turn = math.tau * step / _STEPS
        row, column = round((_ROWS - 1) / 2 * (1 - math.cos(turn))), round((_COLUMNS - 1) / 2 * (1 + math.sin(turn)))
        grid[row][column] = "o" if joint.radius * (1 + math.cos(turn)) < height else "."
    return ["".join(line).rstrip() for line in grid]


def _words(joint: Joint, still: float, at: float) -> list[str]:
    if max(still, at) <= 0:
        return ["The joint stands above the oil: what wets it is splashed, or pushed by pressure."]
    if min(still, at) >= 2 * joint.radius:
        return ["The whole joint stands in oil, which no axle is filled to: look at the height and the radius."]
    if at == still:
        first = "What of the joint stands in oil leaks standing, too."
    else:
        first = f"At this slope {'more' if at > still else 'less'} of the joint stands in oil than on the level."
    return [first, "Above the oil it leaks only from splash, so that it is dry again after a night of rest."]
