"""Readings at places as people type them: 12=0 1:30=0.002 f5=0.004 in."""

import re
from argparse import ArgumentParser, ArgumentTypeError, Namespace
from dataclasses import dataclass

from leakdx.commands.calc.typed import number_in
from leakdx.errors import UsageError
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.outline import Outline, Point, clock, read_clock, ring, turn_of

USUAL_RADIUS = 0.18
"""m; a ring's flatness is the same whatever its size."""
EXAMPLE = "3=0.002 in"

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)"
_READING = re.compile(
    rf"(?P<place>[^=]+)=(?P<value>{_NUMBER}(?:\.\.{_NUMBER})?|go|no)\s*(?P<unit>[^\d\s.].*)?", re.ASCII
)
_PLACE = re.compile(r"(?:f(?P<number>\d{1,2})|(?P<clock>[\d:]+))(?:@(?P<far>.+))?", re.ASCII)


@dataclass(frozen=True)
class Typed:
    """A reading as it was typed: where, and a number, a pair of feelers, go or no."""

    place: str
    value: str


@dataclass(frozen=True)
class Readings:
    """All readings, their one unit ("" where none has a number), and how fine they were read."""

    typed: tuple[Typed, ...]
    unit: str
    decimals: int

    def metres(self, text: str, place: str) -> float:
        """A number of them in m. UsageError names the place."""
        try:
            return number_in("m", EXAMPLE, signed=True)(f"{text} {self.unit}")
        except ArgumentTypeError as error:
            raise UsageError(f"reading at {place}: {error}") from error

    @property
    def last_digit(self) -> float:
        """The last digit that was typed, in m."""
        return self.metres(f"{10.0**-self.decimals:.{self.decimals}f}", self.typed[0].place)


def joint_arguments(command: ArgumentParser) -> None:
    """What says how the joint looks."""
    length = number_in("m", "180mm")
    command.add_argument("--radius", type=length, help="of a round joint's bolt circle")
    command.add_argument("--width", type=length, help="of an oblong joint's bolt line, with --height")
    command.add_argument("--height", type=length, help="of an oblong joint's bolt line")
    command.add_argument(
        "--first", metavar="CLOCK", default="12", help="where fastener 1 is (default: 12), the others clockwise"
    )


def outline(args: Namespace) -> Outline:
    """The joint that the arguments describe."""
    if args.width is None and args.height is None:
        return ring(USUAL_RADIUS if args.radius is None else args.radius)
    if args.width is None or args.height is None or args.radius is not None:
        raise UsageError("an oblong joint has --width and --height, a round one --radius; give one or the other")
    return Outline(args.width, args.height)


def first_turn(args: Namespace) -> float:
    """The turn at which fastener 1 stands."""
    try:
        return read_clock(args.first)
    except MeasureError as error:
        raise UsageError(f"--first: {error}") from error


def readings(words: list[str]) -> Readings:
    """Readings of one unit, on the last or on all; UsageError names the reading."""
    words = list(words)
    last = words.pop() if len(words) > 1 and "=" not in words[-1] else ""
    typed, units = [], []
    for word in words:
        found = _READING.fullmatch(word.strip())
        if found is None:
            raise UsageError(f"'{word[:40]}' is no reading; write place and value, such as {EXAMPLE}")
        typed.append(Typed(found["place"].strip(), found["value"]))
        units.append((found["unit"] or "").strip())
    numbers = [number for each in typed for number in re.findall(_NUMBER, each.value)]
    decimals = max((len(number.partition(".")[2]) for number in numbers), default=0)
    return Readings(tuple(typed), _one_unit(typed, units, last, bool(numbers)), decimals)


def _one_unit(typed: list[Typed], units: list[str], last: str, needed: bool) -> str:
    """The unit of all readings. UsageError where there is none, or more than one."""
    named = {unit for unit in [*units, last] if unit}
    if len(named) > 1:
        raise UsageError(f"the readings have {' and '.join(sorted(named))}; give all of them in one unit")
    if not named:
        if needed:
            raise UsageError(f"the readings have no unit; write it behind the last, such as {EXAMPLE}")
        return ""
    bare = [each.place for each, unit in zip(typed, units, strict=True) if not unit]
    if not last and bare and not (len(bare) == len(units) - 1 and units[-1]):
        raise UsageError(f"the reading at {bare[0]} has no unit and others have; write it behind each, or the last")
    return named.pop()


def place(text: str, joint: Outline, fasteners: int | None, first: float) -> tuple[str, Point]:
    """A place's name and point: a clock position, f and a fastener's number, or either with @ and a radius."""
    found = _PLACE.fullmatch(text)
    if found is None:
        raise UsageError(f"'{text[:20]}' is no place; write a clock position (1:30) or a fastener (f5)")
    if found["number"]:
        point = _fastener(int(found["number"]), joint, fasteners, first)
    else:
        try:
            point = joint.towards(read_clock(found["clock"]))
        except MeasureError as error:
            raise UsageError(str(error)) from error
    if found["far"]:
        try:
            far = number_in("m", "3@150mm=0.002 in")(found["far"])
        except ArgumentTypeError as error:
            raise UsageError(f"the radius in {text}: {error}") from error
        size = (point[0] ** 2 + point[1] ** 2) ** 0.5
        point = point[0] / size * far, point[1] / size * far
    return text, point


def _fastener(number: int, joint: Outline, fasteners: int | None, first: float) -> Point:
    if fasteners is None:
        raise UsageError(f"f{number} counts fasteners; say with --count how many the joint has")
    if not 1 <= number <= fasteners:
        raise UsageError(f"there is no fastener {number}; they run from 1 to {fasteners}")
    return joint.fasteners(fasteners, first)[number - 1]


def by_clock(point: Point) -> str:
    """Where a point is, as a clock position."""
    return clock(turn_of(point))
