"""Arguments that say how a joint looks, and where its fasteners stand."""

import math
from argparse import ArgumentParser, ArgumentTypeError, Namespace

import numpy as np

from leakdx.commands.calc.typed import count, number_in
from leakdx.errors import UsageError
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.outline import Outline, oblong, ring
from leakdx.mechanics.places import HOURS, clock, read_clock


def arguments(command: ArgumentParser) -> None:
    """Outline and fasteners of a joint."""
    length = number_in("m", "180mm")
    command.add_argument("--count", type=count, metavar="N", help="fasteners, spaced evenly")
    command.add_argument("--radius", type=length, help="of a round joint's bolt circle")
    command.add_argument("--high", type=length, help="an oblong joint from its top fasteners to its bottom ones")
    command.add_argument("--wide", type=length, help="the same across")
    command.add_argument("--corner", type=length, help="radius of its corners (default: half of the smaller side)")
    command.add_argument(
        "--first", type=_hour, metavar="CLOCK", help="where fastener 1 is, from the pinion (default: 12)"
    )
    command.add_argument(
        "--clock", type=_hour, nargs="+", metavar="CLOCK", help="where each is, such as 12 1:30 3, if not even"
    )


def outline(args: Namespace, usual: float | None = None) -> Outline:
    """The line of the fasteners; a ring of the ``usual`` radius (m) where no size is given.

    UsageError: neither round nor oblong, or both.
    """
    sizes = (args.high, args.wide, args.corner)
    if usual is not None and args.radius is None and not any(sizes):
        return ring(usual)
    if args.radius is not None and not any(sizes):
        return ring(args.radius)
    if args.radius is not None or args.high is None or args.wide is None:
        raise UsageError(
            f"give --radius of a round joint, or --high and --wide of an oblong one; "
            f"'leakdx calc {args.calculation} -h' shows both"
        )
    return oblong(args.high, args.wide, args.corner)


def fasteners(args: Namespace, line: Outline) -> tuple[float, ...]:
    """Places of the fasteners on the line. UsageError: neither counted nor named, or both, or one said twice."""
    if (args.count is None) == (args.clock is None):
        raise UsageError(
            "give --count of fasteners that are spaced evenly, or --clock of each; --axle names a family that has them"
        )
    if args.count is not None:
        return line.even(args.count, args.first or 0)
    if args.first is not None:
        raise UsageError("--first goes with --count; --clock says where each is, fastener 1 first")
    return line.at_hours(args.clock)


def turns(args: Namespace, line: Outline) -> tuple[float, ...]:
    """Turn of each fastener in order, rad clockwise from 12 o'clock; none where they are neither counted nor named."""
    if args.count is args.clock is None:
        return ()
    return tuple((line.hours(np.array(fasteners(args, line))) * (math.tau / HOURS)).tolist())


def shown(line: Outline, place: float) -> str:
    """A place on the line by the clock."""
    return clock(float(line.hours(np.array(place))) * math.tau / HOURS)


def _hour(text: str) -> float:
    """Reads a clock place such as 4:30, as hours from 0 (12 o'clock) to 12."""
    try:
        return read_clock(text) * HOURS / math.tau
    except MeasureError as error:
        raise ArgumentTypeError(str(error)) from error
