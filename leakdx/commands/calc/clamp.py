"""``leakdx calc clamp``: how the faces are pressed together between the fasteners."""

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from leakdx.commands.calc.axle import COUNT, RADIUS, counted
from leakdx.commands.calc.readings import first_turn, joint_arguments, outline
from leakdx.commands.calc.sheet import LENGTH, SHARE, STRESS, Row, Sheet, three
from leakdx.commands.calc.typed import band_in, count, number_in, plain
from leakdx.errors import UsageError
from leakdx.mechanics.clamp import REACH, Clamp, Flange, bed_of, clamp
from leakdx.mechanics.outline import clock, turn_of
from leakdx.mechanics.trade import trade

if TYPE_CHECKING:
    from leakdx.diagrams.flange import FlangeMap

ABOUT = """\
Say how the faces of the joint are pressed together all the way round, the flange taken
as a beam on what lies between the faces: where the clamp is least, where the faces
part, with fasteners that are weak (--kept, from calc fasteners) or lost (--lost)."""
EXAMPLES = """\
examples:
  leakdx calc clamp --count 16 --radius 7.1in --flange 0.8in --thickness 0.7in \\
    --preload 21600lbf --lost 7 8
  leakdx calc clamp --count 12 --width 420mm --height 340mm --flange 20mm \\
    --thickness 18mm --preload 62..130kN --between gasket --svg flange.svg
"""

FROM_AXLE = {"count": COUNT, "radius": RADIUS}
_PROFILE = 72
"""Places, as shares of the way round from fastener 1, whose pressure machines are told."""
_WEAK_BETWEEN = 0.5
"""Share of the mean clamp."""


def arguments(command: ArgumentParser) -> None:
    """What the command takes."""
    beds = tuple(trade().beds)
    length = number_in("m", "20mm")
    command.add_argument("--count", type=count, metavar="N", help="fasteners, evenly round the joint")
    joint_arguments(command)
    command.add_argument("--flange", type=length, required=True, help="how wide the pressed face is")
    command.add_argument("--thickness", type=length, required=True, help="of the thinner of the two flanges")
    command.add_argument("--preload", type=band_in("N", "96kN"), required=True, help="of one fastener (calc fasteners)")
    command.add_argument(
        "--kept", nargs="+", type=plain("80"), metavar="PERCENT", help="preload that each has left, in order"
    )
    command.add_argument("--lost", type=count, nargs="+", default=[], metavar="N", help="fasteners without clamp")
    command.add_argument("--between", choices=beds, default=beds[0], help=f"what lies between (default: {beds[0]})")
    command.add_argument(
        "--bed", type=number_in("N/m^3", "100N/mm^3"), help="its stiffness, pressure for each length pressed in"
    )


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    from leakdx.diagrams.flange import flange_text

    flange, field = _flange(args), _field(args)
    rows = [
        Row("least clamp", args.preload.times(field.least / args.preload.likely) if field.least else 0.0, STRESS),
        Row("least at", _where(args, field.least_at)),
        Row("of the sound joint's least", field.share_of_sound, SHARE),
        Row("mean clamp", args.preload.times(field.mean / args.preload.likely), STRESS),
        Row("a fastener reaches to", REACH / flange.beta, LENGTH),
        Row("fasteners stand apart by", field.length / args.count, LENGTH),
    ]
    own = field.own_spans
    rows += [Row("the faces part", f"{_where(args, start)} to {_where(args, end)}") for start, end in own]
    if len(field.spans) > len(own):
        rows.append(Row("they part as in the sound joint", f"at {len(field.spans) - len(own)} places"))
    profile = [[step / _PROFILE, float(field.pressure[step * len(field.pressure) // _PROFILE])]
               for step in range(_PROFILE)]  # fmt: skip
    more: dict[str, object] = {"parts": [list(span) for span in field.spans], "kept": _kept(args), "profile": profile}
    title = f"Clamp round a joint of {args.count} fasteners, {_bed_words(args)} between the faces"
    return Sheet(title, rows, _words(args, field), flange_text(_map(args)), more)


def svg(args: Namespace) -> str:
    """The flange map."""
    from leakdx.diagrams.flange import flange_svg

    return flange_svg(_map(args))


def _flange(args: Namespace) -> Flange:
    between = trade().beds[args.between]
    bed = args.bed if args.bed is not None else bed_of(between.modulus_mpa * 1e6, between.thickness_mm / 1e3)
    return Flange(args.flange, args.thickness, bed)


def _field(args: Namespace) -> Clamp:
    preload = args.preload.likely
    return clamp(_flange(args), outline(args).length, [preload * share for share in _kept(args)], preload)


def _kept(args: Namespace) -> list[float]:
    """The share of its preload that each fastener has. UsageError where counts do not fit."""
    count = counted(args)
    kept = [each / 100 for each in args.kept] if args.kept else [1.0] * count
    if len(kept) != count:
        raise UsageError(f"--kept has {len(kept)} values for {count} fasteners; give one for each, in order")
    for number in args.lost:
        if not 1 <= number <= count:
            raise UsageError(f"--lost {number}: there is no such fastener; they run from 1 to {count}")
        kept[number - 1] = 0.0
    return kept


def _words(args: Namespace, field: Clamp) -> list[str]:
    said = []
    if field.own_spans:
        said.append("Where the faces part nothing presses the seal, and oil finds its way.")
    elif field.share_of_sound < 1 - 1e-9:
        said.append(f"The least clamp is {three(100 * field.share_of_sound)}% of what the sound joint has.")
    else:
        said.append("Every fastener holds alike; the clamp is least midway between two of them.")
    if field.sound.min() < _WEAK_BETWEEN * field.sound.mean():
        said.append("Even the sound joint is weak between its fasteners: only a seal that fills gaps bears that.")
    return [*said, "Faces that are not flat take clamp away where they stand low; that is not in this figure."]


def _bed_words(args: Namespace) -> str:
    return "a bed of its own stiffness" if args.bed is not None else trade().beds[args.between].words


def _where(args: Namespace, share: float) -> str:
    """A place so great a share of the way on from fastener 1, by the fasteners beside it and the clock."""
    joint = outline(args)
    turn = turn_of(joint.along(joint.way_to(first_turn(args)) + share))
    before = share % 1 * args.count
    number = round(before)
    if abs(before - number) < 0.02:
        return f"fastener {number % args.count + 1} ({clock(turn)})"
    return f"between {int(before) + 1} and {(int(before) + 1) % args.count + 1} ({clock(turn)})"


def _map(args: Namespace) -> "FlangeMap":
    from leakdx.diagrams.flange import FlangeMap

    joint, field = outline(args), _field(args)
    parts = "the faces part" if field.spans else f"{100 * field.share_of_sound:.0f}% of the sound joint's"
    said = ("least clamp", f"{field.least / 1e6:.3g} MPa ({STRESS.shown(field.least, metric=False):.3g} ksi)", parts)
    start = joint.way_to(first_turn(args))
    return FlangeMap("Flange map: clamp round the joint", joint, start, field, _kept(args), said)
