"""``leakdx calc order``: in which order a joint is tightened, and to what torque pass by pass."""

from argparse import ArgumentParser, Namespace

import numpy as np

from leakdx.commands.calc import joint
from leakdx.commands.calc.sheet import TORQUE, Row, Sheet
from leakdx.commands.calc.typed import count, number_in
from leakdx.diagrams.canvas import Canvas
from leakdx.errors import UsageError
from leakdx.knowledge.model import Knowledge
from leakdx.measured.axle import COUNT
from leakdx.measured.axle import TORQUE as AXLE_TORQUE
from leakdx.mechanics.order import Group, order_of, passes
from leakdx.mechanics.outline import Outline

ABOUT = """\
Say in which order the fasteners of a round or oblong joint are tightened, dowel places
first, crosswise or from the middle outwards, and to what torque in each pass. They are
numbered clockwise as seen from the pinion."""
EXAMPLES = """\
examples:
  leakdx calc order --count 16 --torque 225lb-ft
  leakdx calc order --count 14 --torque 305N-m --dowels 3 10
  leakdx calc order --count 12 --high 400mm --wide 300mm --corner 80mm --torque 225lb-ft
"""
FROM_AXLE = {"count": COUNT, "torque": AXLE_TORQUE}
_STEPS = 720


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    joint.arguments(command)
    command.add_argument("--torque", type=number_in("N*m", "225lb-ft"), help="that is ordered")
    command.add_argument("--dowels", type=count, nargs="+", default=[], metavar="N", help="fasteners at dowels")
    command.add_argument("--start", type=count, metavar="N", help="of a round joint (default: the first dowel, or 1)")


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    line, stands, groups = _worked(args)
    dowels = [number for group in groups if group.dowels for number in group.numbers]
    others = [group for group in groups if not group.dowels]
    rows = [Row("dowel places first", " ".join(map(str, dowels)))] if dowels else []
    rows.append(Row("then" if dowels else "order", "  ".join(" ".join(map(str, each.numbers)) for each in others)))
    return Sheet(_title(args, line, stands), [*rows, *_passes(args)], _words(args),
                 _picture(line, stands, groups), {"order": _order(groups), "at_dowels": dowels})  # fmt: skip


def svg(args: Namespace) -> str:
    """The joint with the step of each fastener."""
    from leakdx.diagrams.flange import order_svg

    line, stands, groups = _worked(args)
    return order_svg(line, stands, groups, _title(args, line, stands))


def _worked(args: Namespace) -> tuple[Outline, tuple[float, ...], tuple[Group, ...]]:
    """Outline, places of the fasteners, and their order; a joint of which no size is given is round."""
    line = joint.outline(args, usual=1.0)
    stands = joint.fasteners(args, line)
    if args.start is not None and not line.is_round:
        raise UsageError("an oblong joint is begun in its middle; leave --start away")
    return line, stands, order_of(line, stands, args.dowels, args.start)


def _title(args: Namespace, line: Outline, stands: tuple[float, ...]) -> str:
    dowels = f", dowels at {' '.join(map(str, sorted(args.dowels)))}" if args.dowels else ""
    return f"{'A round' if line.is_round else 'An oblong'} joint of {len(stands)} fasteners{dowels}"


def _passes(args: Namespace) -> list[Row]:
    if args.torque is None:
        return []
    shares = args.known.trade_numbers.passes.shares
    torques = passes(args.torque, shares)
    return [
        Row("by hand", "until every head sits"),
        *(Row(f"pass {number}, in this order", torque, TORQUE) for number, torque in enumerate(torques, 1)),
        Row("then round, clockwise", args.torque, TORQUE),
    ]


def _words(args: Namespace) -> list[str]:
    last = "Go round at the full torque until none moves any more, then check every one again."
    rules = "The axle maker's torque and order rule where they are known."
    return ["Each pass goes through all fasteners, dowel places first.", last, rules] if args.dowels else [last, rules]


def _picture(line: Outline, stands: tuple[float, ...], groups: tuple[Group, ...]) -> list[str]:
    """The step of each fastener where it stands; in brackets at a dowel."""
    canvas = Canvas(line.wide / 2, line.high / 2)
    canvas.dots(line.spots(np.linspace(0, line.around, _STEPS)))
    at_dowels = {number for group in groups if group.dowels for number in group.numbers}
    spots = line.spots(np.array(stands))
    for step, number in enumerate(_order(groups), 1):
        canvas.put(spots[number - 1], f"({step})" if number in at_dowels else str(step))
    first = joint.shown(line, stands[0])
    brackets = "; in brackets at a dowel" if at_dowels else ""
    return [*canvas.lines(), f"seen from the pinion, fastener 1 at {first}: the step at which each is due{brackets}"]


def _order(groups: tuple[Group, ...]) -> list[int]:
    return [number for group in groups for number in group.numbers]
