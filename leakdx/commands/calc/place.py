"""``leakdx calc place``: whether the wet part stands with what could have made it wet."""

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from typing import TYPE_CHECKING

from leakdx.commands.calc.axle import COUNT, counted
from leakdx.commands.calc.readings import first_turn
from leakdx.commands.calc.sheet import CHANCE, LENGTH, SHARE, Row, Sheet
from leakdx.commands.calc.typed import count, numbers_in
from leakdx.errors import UsageError
from leakdx.mechanics.colocation import Arc, arc_there, gathered, low_there, stands_with
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.outline import clock, read_clock

if TYPE_CHECKING:
    from leakdx.diagrams.placed import PlaceMap

ABOUT = """\
Say whether the wet part of the joint stands with weak fasteners, with the low part of a
face or with a weld, or whether that could be chance: of all ways in which as many
places could lie round the joint, the share that stand as near. All places clockwise, as
seen from the pinion's side."""
EXAMPLES = """\
examples:
  leakdx calc place --wet 4..7 --count 16 --weak 6 7 8
  leakdx calc place --wet 5..6:30 --heights 0 1 0 -2 -6 -5 -1 0 thou
  leakdx calc place --wet 5..6:30 --weld 5:30..6
"""
FROM_AXLE = {"count": COUNT}
_TOGETHER = 0.05


def arguments(command: ArgumentParser) -> None:
    """What the command takes."""
    command.add_argument(
        "--wet", type=_arc, required=True, metavar="FROM..TO", help="wet part, such as 4..7, clockwise"
    )
    command.add_argument("--count", type=count, metavar="N", help="fasteners, evenly round the joint, for --weak")
    command.add_argument("--weak", type=count, nargs="+", metavar="N", help="fasteners without clamp (calc fasteners)")
    command.add_argument("--heights", nargs="+", metavar="HEIGHT", help="of a face at even places, unit last")
    command.add_argument("--weld", type=_arc, metavar="FROM..TO", help="a weld near the joint")
    command.add_argument("--first", metavar="CLOCK", default="12", help="where fastener or place 1 is (default: 12)")


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    from leakdx.diagrams.placed import place_text

    if args.weak is None and args.heights is None and args.weld is None:
        raise UsageError("there is nothing to hold the wet part against; give --weak, --heights or --weld")
    rows: list[Row] = []
    words: list[str] = []
    for given, held in ((args.weak, _weak), (args.heights, _heights), (args.weld, _weld)):
        if given is not None:
            more_rows, said = held(args)
            rows += more_rows
            words += said
    title = f"The wet part from {_shown(args.wet)}, held against what could have made it"
    return Sheet(title, rows, words, place_text(_map(args)))


def svg(args: Namespace) -> str:
    """The joint with its wet part."""
    from leakdx.diagrams.placed import place_svg

    return place_svg(_map(args))


def _weak(args: Namespace) -> tuple[list[Row], list[str]]:
    found = stands_with(args.weak, counted(args), args.wet, first_turn(args))
    direction, turn, chance = gathered(args.weak, args.count)
    rows = [
        Row("weak fasteners in the wet part", f"{found.inside} of {len(args.weak)}"),
        Row("away from it, of the way round", found.away, SHARE),
        Row("chance to stand as near", found.chance, CHANCE),
        Row("as near with the pattern turned", found.turning, CHANCE),
        Row("they stand round", clock(first_turn(args) + turn) if direction > 1e-9 else "no side"),
        Row("chance to be as close together", chance, CHANCE),
    ]
    together = chance <= _TOGETHER and len(args.weak) > 1
    said = _said("the weak fasteners", found.turning if together else found.chance)
    if together:
        said.append(
            "They stand close together, so one cause may have taken all: then the turned pattern's chance counts."
        )
    return rows, said


def _heights(args: Namespace) -> tuple[list[Row], list[str]]:
    lower, chance = low_there(_measured(args), args.wet, first_turn(args))
    rows = [
        Row("the face stands lower there by" if lower >= 0 else "the face stands higher there by", abs(lower), LENGTH),
        Row("chance to stand as low", chance, CHANCE),
    ]
    return rows, _said("the low part of the face", chance)


def _weld(args: Namespace) -> tuple[list[Row], list[str]]:
    apart, chance = arc_there(args.weld, args.wet)
    rows = [
        Row("the weld is away, of the way round", apart, SHARE) if apart else Row("the weld", "in the wet part"),
        Row("chance for a weld to be as near", chance, CHANCE),
    ]
    return rows, _said("the weld", chance)


def _said(what: str, chance: float) -> list[str]:
    if chance <= _TOGETHER:
        return [f"The wet part stands with {what} more closely than chance would have it: look there first."]
    return [f"That the wet part stands by {what} could be chance; it says little by itself."]


def _map(args: Namespace) -> "PlaceMap":
    """Fasteners are shown where they are given, the heights' places otherwise; low is below the mean."""
    from leakdx.diagrams.placed import PlaceMap

    first = first_turn(args)
    marks: list[tuple[float, str, bool]] = []
    if args.weak is not None:
        marks = [(first + n / args.count, str(n + 1), n + 1 in args.weak) for n in range(args.count)]
    elif args.heights is not None:
        heights = _measured(args)
        mean = sum(heights) / len(heights)
        marks = [(first + n / len(heights), str(n + 1), height < mean) for n, height in enumerate(heights)]
    return PlaceMap(f"Wet from {_shown(args.wet)}", args.wet, args.weld, marks)


def _measured(args: Namespace) -> list[float]:
    return numbers_in(args.heights, "m", "--heights", "0 -2 -5 0 thou, the unit last", signed=True)


def _arc(text: str) -> Arc:
    """A part of the joint, or one place of it."""
    start, dots, end = text.partition("..")
    try:
        return Arc(read_clock(start), read_clock(end if dots else start))
    except MeasureError as error:
        raise ArgumentTypeError(str(error)) from error


def _shown(arc: Arc) -> str:
    return f"{clock(arc.start)} to {clock(arc.end)}"
