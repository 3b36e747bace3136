"""``leakdx calc weld``: how hot a weld makes the joint, and whether what seals it bears that."""

import math
from argparse import ArgumentParser, Namespace

from leakdx.commands.calc.sheet import CHANCE, HEAT, LENGTH, SECONDS, TEMPERATURE, Row, Sheet, cell, shown
from leakdx.commands.calc.typed import band_in, number_in, plain
from leakdx.explain.numbers import number
from leakdx.knowledge.model import Knowledge
from leakdx.measured.bead import Bead, BeadRead, bead
from leakdx.measured.fields import from_names
from leakdx.mechanics import weld
from leakdx.mechanics.band import Band
from leakdx.mechanics.trade import Process, Seal
from leakdx.mechanics.weld import Weld
from leakdx.mechanics.weld_field import Arc, hottest_after

ABOUT = """\
Say how hot the joint gets from a bead near it, from process, volts, amperes, travel
speed, wall and distance, and with which chance what seals it is harmed."""
EXAMPLES = """\
examples:
  leakdx calc weld --process gmaw --volts 25 --amperes 220 --speed 14in/min \\
    --wall 10mm --distance 40mm
  leakdx calc weld --process smaw --volts 24 --amperes 120 --speed 3mm/s --wall 0.4in \\
    --distance 1..2in --seal gasket --start 60degF
"""
_INCH, _MM = 0.0254, 1e-3
_STEPS = {
    True: [_MM * each for each in (5, 10, 20, 40, 80, 160)],
    False: [_INCH * each for each in (0.25, 0.5, 1, 2, 4, 8)],
}
"""Distances (m) of the text's picture, by whether it is metric."""
_DEGREES_A_MARK = 40
_CURVE = 80
_COOLED = 500.0


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    numbers = known.trade_numbers
    processes = numbers.welding.processes
    named = ", ".join(f"{name} ({each.words})" for name, each in processes.items())
    every = [*processes, *(other for each in processes.values() for other in each.also)]
    command.add_argument("--process", choices=every, metavar="PROCESS", required=True, help=named)
    command.add_argument("--volts", type=plain("25", "V"), required=True)
    command.add_argument("--amperes", type=plain("220", "A"), required=True)
    command.add_argument("--speed", type=band_in("m/s", "8in/min"), required=True, help="of travel")
    command.add_argument("--wall", type=number_in("m", "10mm"), required=True, help="thickness where it was welded")
    command.add_argument(
        "--distance", type=band_in("m", "40mm"), required=True, help="from the bead's edge to the joint"
    )
    command.add_argument("--seal", choices=tuple(numbers.seals), default="sealant", help="what seals the joint")
    command.add_argument(
        "--start", type=number_in("degC", "20degC", signed=True), default=20.0, help="before the weld (default: 20degC)"
    )


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    made = _bead(args)
    work, seal, bears, chance = made.with_heat(made.heat.likely), made.seal, made.bears, made.chance_of_harm
    rows = [
        Row("heat into the work", made.heat, HEAT),
        Row("peak at the joint", made.peak, TEMPERATURE),
        Row(f"{seal.words} bears", bears, TEMPERATURE),
        Row("chance of harm", chance, CHANCE),
        *_more_rows(args, work, bears),
    ]
    return Sheet(
        _title(args, made.process), rows, _words(chance, seal), _picture(work, bears, metric=args.units != "inch")
    )


def _more_rows(args: Namespace, work: Weld, bears: Band) -> list[Row]:
    """When the joint is hottest; how far harm reaches and how fast the bead cools, where it was not that hot before."""
    speed = args.speed.likely
    arc = Arc(work.heat * speed, speed, args.start, work.metal)
    rows = [Row("hottest after the arc passed", hottest_after(arc, args.wall, args.distance.likely), SECONDS)]
    if args.start < bears.likely:
        rows.append(Row("heat that it does not bear reaches", weld.reach(work, bears.likely), LENGTH))
    if args.start < _COOLED:
        rows.append(Row("the bead cools from 800 to 500 °C (1470 to 930 °F) in", weld.cooling_time(work), SECONDS))
    return rows


def svg(args: Namespace) -> str:
    """Peak temperature by distance as a picture."""
    from leakdx.diagrams.joint import heat_svg

    made = _bead(args)
    step = 2 * _INCH if args.units == "inch" else 50 * _MM
    widest = math.ceil(max(0.08, args.distance.high) / step + 0.5) * step
    works = [made.with_heat(each) for each in (made.heat.low, made.heat.likely, made.heat.high)]
    away = [widest * (step / _CURVE) ** 2 for step in range(_CURVE + 1)]  # closest where it falls steeply
    curve = [(distance, Band(*(weld.peak(work, distance) for work in works))) for distance in away]
    return heat_svg(
        curve, made.bears, args.distance, made.seal.words, _title(args, made.process), metric=args.units != "inch"
    )


def _bead(args: Namespace) -> Bead:
    return bead(from_names(BeadRead, args), args.known.trade_numbers)


def _title(args: Namespace, process: Process) -> str:
    volts, amperes = number(args.volts, "g"), number(args.amperes, "g")
    return f"{process.words}, {volts} V, {amperes} A, on a wall of {shown(args.wall, LENGTH, args.units)}"


def _picture(work: Weld, bears: Band, *, metric: bool) -> list[str]:
    """Peak temperature along the wall, as bars."""
    lines = []
    for away in _STEPS[metric]:
        hot = weld.peak(work, away)
        mark = "too hot" if hot > bears.high else "may be too hot" if hot > bears.low else ""
        at, peak = cell(Row("", away, LENGTH), metric=metric), cell(Row("", hot, TEMPERATURE), metric=metric)
        lines.append(f"{at:>7} {peak:>8}  {'#' * round(hot / _DEGREES_A_MARK):38} {mark}".rstrip())
    return lines


def _words(chance: float, seal: Seal) -> list[str]:
    if chance >= 0.9:
        said = f"The {seal.words} is harmed, almost surely: close the joint anew."
    elif chance >= 0.5:
        said = f"The {seal.words} is likely harmed: plan to close the joint anew."
    elif chance >= 0.1:
        said = f"It is open whether the {seal.words} is harmed: look at the joint there when it is warm and under oil."
    else:
        said = f"The {seal.words} is hardly harmed by this bead."
    return [said, "Several passes one after the other start warmer; give --start as it was before the last."]
