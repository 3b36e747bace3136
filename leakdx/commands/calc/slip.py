"""``leakdx calc slip``: whether the joint slips or opens under the driveline's torque."""

from argparse import ArgumentParser, Namespace

import numpy as np

from leakdx.commands.calc import joint
from leakdx.commands.calc.sheet import CHANCE, FORCE, NUMBER, STRESS, TORQUE, Row, Sheet
from leakdx.commands.calc.typed import band_in, count, given_or, number_in, only_with, percent, plain
from leakdx.errors import UsageError
from leakdx.explain.numbers import number
from leakdx.knowledge.model import Knowledge
from leakdx.measured.axle import COUNT, RADIUS
from leakdx.mechanics import slip
from leakdx.mechanics.band import Band
from leakdx.mechanics.preload import loaded
from leakdx.mechanics.slip import Dowels, Ring, Slip
from leakdx.mechanics.trade import Drive

ABOUT = """\
Hold what friction of the clamped ring bears against what twists it: the pinion's
torque in the lowest gear, or what the tyres grip where that is less. The wheels'
torque tips the carrier too; what opens the joint is said beside. Dowels bear what
friction does not."""
EXAMPLES = """\
examples:
  leakdx calc slip --count 16 --radius 180mm --preload 62..130kN --engine 1850lb-ft \\
    --gear 14.4 --ratio 3.70 --load 20000lbf --tyre 500mm
  leakdx calc slip --count 16 --radius 7.1in --preload 21600lbf --engine 1850lb-ft \\
    --gear 14.4 --ratio 2.5 --share 0.5 --faces oily --lost 3 4 5 \\
    --dowels 1 5 9 13
"""
FROM_AXLE = {"count": COUNT, "radius": RADIUS}
_TYRE, _DOWEL = 0.5, 0.016
"""m; where none is given."""


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    numbers = known.trade_numbers
    length = number_in("m", "180mm")
    joint.arguments(command)
    command.add_argument(
        "--kept", nargs="+", type=percent("80"), metavar="PERCENT", help="preload that each has left (calc fasteners)"
    )
    command.add_argument("--preload", type=band_in("N", "96kN"), required=True, help="of one fastener (calc fasteners)")
    command.add_argument("--lost", type=count, nargs="+", default=[], metavar="N", help="fasteners without clamp")
    command.add_argument("--faces", choices=tuple(numbers.faces), default="dry", help="what lies between the faces")
    command.add_argument("--engine", type=number_in("N*m", "1850lb-ft"), required=True, help="its greatest torque")
    command.add_argument("--gear", type=plain("14.4", ":1"), required=True, help="ratio of the lowest gear in use")
    command.add_argument("--ratio", type=plain("3.70", ":1"), required=True, help="of the axle")
    command.add_argument(
        "--share", type=plain("0.5"), default=1.0, help="of the drive on this axle, 0.5 for one of a tandem"
    )
    command.add_argument(
        "--load", type=number_in("N", "20000lbf"), help="on the axle, where the tyres' grip is to count"
    )
    command.add_argument("--tyre", type=length, help="loaded radius (default: 500mm)")
    command.add_argument("--dowels", type=count, nargs="+", default=[], metavar="N", help="fasteners at dowels")
    command.add_argument("--dowel", type=length, help="their diameter (default: 16mm)")


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    only_with(args, ("tyre",), "load", "give what stands on the axle, such as 20000lbf")
    if args.dowel is not None and not args.dowels:
        raise UsageError("--dowel goes with --dowels; give the fasteners that dowels stand at")
    numbers = args.known.trade_numbers
    ring = _ring(args)
    faces = numbers.faces[args.faces]
    pinion = _pinion(args)
    twist = Slip(slip.capacity(ring, args.preload, Band(*faces.friction)), pinion)
    tip = Slip(slip.opening_torque(ring, args.preload), slip.wheel_torque(pinion, args.ratio))
    lost = f", without {' '.join(map(str, args.lost))}" if args.lost else ""
    title = f"{len(ring.radii)} fasteners{lost}, {faces.words}"
    pull = slip.outermost_pull(ring, tip.meets.likely)
    rows = [
        *_side("twist", "friction bears", twist),
        *_side("tipping", "opens at", tip),
        Row("tipping: pull at the outermost fastener", pull, FORCE),
        Row("tipping: load in it", loaded(args.preload, pull, numbers.drive.load_share.as_band), FORCE),
    ]
    if args.dowels:
        rows += _dowel_rows(slip.dowels_at(args.dowels, ring, given_or(args.dowel, _DOWEL)), twist, numbers.drive)
    return Sheet(title, rows, [*_words(ring, twist, tip, bool(args.dowels)), *joint.doubts(args.preload)])


def _ring(args: Namespace) -> Ring:
    """The joint's fasteners, by how far each stands from its middle."""
    line = joint.outline(args)
    right, up = line.points(np.array(joint.fasteners(args, line)))
    return slip.flange(np.hypot(right, up).tolist(), [each / 100 for each in args.kept or ()], args.lost)


def _pinion(args: Namespace) -> Band:
    """Torque at the pinion that is really met."""
    drive = args.known.trade_numbers.drive
    engine = slip.pinion_torque(args.engine, args.gear, drive.efficiency.as_band, args.share)
    if args.load is None:
        return engine
    return slip.smaller(
        engine, slip.gripped_torque(args.load, given_or(args.tyre, _TYRE), drive.grip.as_band, args.ratio)
    )


def _side(name: str, bears: str, found: Slip) -> list[Row]:
    return [
        Row(f"{name}: {bears}", found.holds, TORQUE),
        Row(f"{name}: meets", found.meets, TORQUE),
        Row(f"{name}: margin", found.margin, NUMBER),
        Row(f"{name}: chance that it gives", found.chance, CHANCE),
    ]


def _dowel_rows(dowels: Dowels, twist: Slip, drive: Drive) -> list[Row]:
    """With the joint's torque wholly on them, since a worn joint works before it slips."""
    beyond = twist.meets.likely - twist.holds.likely
    strength = dowels.bears(drive.dowel_shear_mpa.as_band.times(1e6))
    return [
        Row("dowels: bear", strength, TORQUE),
        Row("each dowel, beyond friction", dowels.force(beyond), FORCE),
        Row("each dowel, all of the torque", dowels.force(twist.meets.likely), FORCE),
        Row("shear in it, all of the torque", dowels.stress(twist.meets.likely), STRESS),
    ]


def _words(ring: Ring, twist: Slip, tip: Slip, dowels: bool) -> list[str]:
    lines = [_verdict("slips in its plane", twist), _verdict("opens on one side", tip)]
    if twist.chance > 0.01 and not dowels:
        lines.append("Tapered dowels take out most of that movement, and are worth fitting where there are none.")
    if min(ring.kept) == 0:
        lines.append(
            "Pressure is gone at a lost fastener long before the ring slips; see what is left between its neighbours."
        )
    return [
        *lines,
        "A faster axle ratio asks more of the pinion, and so of the joint, for the same pull at the wheels.",
    ]


def _verdict(what: str, found: Slip) -> str:
    if found.chance < 0.01:
        return f"It hardly ever {what}: it holds {number(found.margin.likely, '.1f')} times what it meets."
    if found.chance < 0.5:
        return f"It may be that it {what} at full torque: chance {found.chance:.0%}."
    return f"Likely it {what} at full torque: chance {found.chance:.0%}."
