"""Arguments that say how a joint looks, and where its fasteners stand."""

import math
from argparse import ArgumentParser, Namespace

import numpy as np

from leakdx.commands.calc.typed import argument, count, number_in
from leakdx.measured.fields import from_names
from leakdx.measured.joint import Joint, hour
from leakdx.mechanics.band import Band
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.places import HOURS, clock


def arguments(command: ArgumentParser) -> None:
    """Outline and fasteners of a joint."""
    length, place = number_in("m", "180mm"), argument(hour)
    command.add_argument("--count", type=count, metavar="N", help="fasteners, spaced evenly")
    command.add_argument("--radius", type=length, help="of a round joint's bolt circle")
    command.add_argument("--high", type=length, help="an oblong joint from its top fasteners to its bottom ones")
    command.add_argument("--wide", type=length, help="the same across")
    command.add_argument("--corner", type=length, help="radius of its corners (default: half of the smaller side)")
    command.add_argument(
        "--first", type=place, metavar="CLOCK", help="where fastener 1 is, from the pinion (default: 12)"
    )
    command.add_argument(
        "--clock", type=place, nargs="+", metavar="CLOCK", help="where each is, such as 12 1:30 3, if not even"
    )


def of(args: Namespace) -> Joint:
    """The joint of a command's arguments."""
    return from_names(Joint, args)


def outline(args: Namespace, usual: float | None = None) -> Outline:
    """The line of the fasteners; a ring of the ``usual`` radius (m) where no size is given. MeasureError as there."""
    return of(args).outline(usual)


def fasteners(args: Namespace, line: Outline) -> tuple[float, ...]:
    """Places of the fasteners on the line. MeasureError as there."""
    return of(args).fasteners(line)


def turns(args: Namespace, line: Outline) -> tuple[float, ...]:
    """Turn of each fastener in order, rad clockwise from 12 o'clock; none where they are neither counted nor named."""
    return of(args).turns(line)


def doubts(preload: Band) -> list[str]:
    """What to think of where a preload was given as if it were known."""
    if preload.low < preload.high:
        return []
    return ["The preload was taken as exact; torque leaves a third of doubt in it: give its band (calc fasteners)."]


def shown(line: Outline, place: float) -> str:
    """A place on the line by the clock."""
    return clock(float(line.hours(np.array(place))) * math.tau / HOURS)
