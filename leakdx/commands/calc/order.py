"""``leakdx calc order``: in which order and passes fasteners are tightened."""

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from leakdx.commands.calc.axle import COUNT, counted
from leakdx.commands.calc.axle import TORQUE as AXLE_TORQUE
from leakdx.commands.calc.readings import first_turn, joint_arguments, outline
from leakdx.commands.calc.sheet import TORQUE, Row, Sheet, three
from leakdx.commands.calc.typed import count, number_in
from leakdx.mechanics.order import Pass, groups, passes, tightening
from leakdx.mechanics.trade import trade

if TYPE_CHECKING:
    from leakdx.diagrams.sequence import OrderMap

ABOUT = """\
Say in which order the fasteners of a joint are tightened, crosswise, and in how many
passes. Dowel places come first. Fasteners are numbered clockwise, 1 at 12 o'clock or at
--first; on an oblong joint 1 is best the one at the middle of a long side."""
EXAMPLES = """\
examples:
  leakdx calc order 16 --torque 225lb-ft --dowels 4 12
  leakdx calc order 14 --torque 305N-m --width 420mm --height 340mm --svg order.svg
"""

FROM_AXLE = {"count": COUNT, "torque": AXLE_TORQUE}
_IN_A_LINE = 8


def arguments(command: ArgumentParser) -> None:
    """What the command takes."""
    command.add_argument("count", type=count, metavar="N", nargs="?", help="fasteners of the joint")
    command.add_argument("--torque", type=number_in("N*m", "225lb-ft"), help="that is ordered, for the passes")
    command.add_argument("--dowels", type=count, nargs="+", default=[], metavar="N", help="fasteners with a dowel")
    command.add_argument("--begin", type=count, default=1, metavar="N", help="fastener to begin with (default: 1)")
    joint_arguments(command)


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    from leakdx.diagrams.sequence import order_text

    order = _order(args)
    rows = _order_rows(groups(order, args.count, len(args.dowels)))
    through = _passes(args)
    rows += [Row(_pass_name(number, each), each.torque, TORQUE) for number, each in enumerate(through, 1)]
    more: dict[str, object] = {"order": order}
    return Sheet(f"Order of tightening for {args.count} fasteners", rows, _words(args), order_text(_map(args)), more)


def svg(args: Namespace) -> str:
    """The order at the fasteners' places."""
    from leakdx.diagrams.sequence import order_svg

    return order_svg(_map(args))


def _order_rows(each: list[list[int]]) -> list[Row]:
    """The groups in lines of eight fasteners or so."""
    rows: list[Row] = []
    line: list[list[int]] = []
    done = 0
    for number, group in enumerate(each):
        line.append(group)
        count = sum(map(len, line))
        if count >= _IN_A_LINE or number == len(each) - 1:
            steps = " | ".join(" ".join(map(str, part)) for part in line)
            rows.append(Row(f"order, {done + 1} to {done + count}", steps))
            line, done = [], done + count
    return rows


def _order(args: Namespace) -> list[int]:
    return tightening(counted(args), args.dowels, args.begin)


def _pass_name(number: int, each: Pass) -> str:
    how = "once round, in order of numbers" if each.round_about else f"crosswise, {100 * each.share:.0f}%"
    return f"pass {number}: {how}"


def _words(args: Namespace) -> list[str]:
    said = [
        "Go once round again until none moves any more. The axle maker's manual rules where it gives another order."
    ]
    if args.dowels:
        said.insert(0, "Seat the dowels and tighten their fasteners first, so that the others do not drag the carrier.")
    if args.count % 2:
        said.append("An odd count has no opposites: each step goes nearly half the way round.")
    return said


def _map(args: Namespace) -> "OrderMap":
    from leakdx.diagrams.sequence import OrderMap

    joint = outline(args)
    order, points = _order(args), joint.fasteners(args.count, first_turn(args))
    said = [f"{args.count} fasteners"]
    for metric in (False, True) if args.torque is not None else ():
        each = ", ".join(three(TORQUE.shown(step.torque, metric)) for step in _passes(args))
        said.append(f"passes: {each} {TORQUE.written(metric)}")
    return OrderMap("Order of tightening", joint, points, order, args.dowels, said)


def _passes(args: Namespace) -> list[Pass]:
    return passes(args.torque, trade().passes.shares) if args.torque is not None else []
