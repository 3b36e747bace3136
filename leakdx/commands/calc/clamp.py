"""``leakdx calc clamp``: how hard the joint is pressed between its fasteners, and where it is not."""

from argparse import ArgumentParser, Namespace

import numpy as np

from leakdx.commands.calc import joint
from leakdx.commands.calc.sheet import CHANCE, FORCE, GAP, LENGTH, PRESSED, SHARE, Row, Sheet, three
from leakdx.commands.calc.typed import band_in, count, number_in, percent
from leakdx.diagrams.canvas import Canvas
from leakdx.errors import UsageError
from leakdx.knowledge.model import Knowledge
from leakdx.measured.axle import CARRIER, COUNT, RADIUS
from leakdx.mechanics.band import Band
from leakdx.mechanics.clamp import Field, Stretch
from leakdx.mechanics.slip import flange as shares_of
from leakdx.mechanics.tight import Flange, Seal, Tightness, bending, tightness

ABOUT = """\
Say how hard the faces are pressed together round the joint, with weak or missing
fasteners: the least pressure and where it is, where the faces part and how far, and
with which chance that is too much for what seals the joint."""
EXAMPLES = """\
examples:
  leakdx calc clamp --count 16 --radius 180mm --preload 62..130kN --face-width 20mm \\
    --carrier 18mm --housing 15mm --seal gasket --lost 5 6
  leakdx calc clamp --count 12 --high 16in --wide 13in --corner 4in --preload 21600lbf \\
    --face-width 0.8in --carrier 0.7in --seal sealant \\
    --kept 100 100 60 0 55 100 100 100 100 100 100 100
"""
FROM_AXLE = {"count": COUNT, "radius": RADIUS, "carrier": CARRIER}
_WEAK, _LOST, _HALF = 0.8, 0.25, 0.5
_MOST_ROWS, _SAMPLES = 4, 120
_SIGNS = "!o-+#"
"""The first that stand at one place in the picture is the one that is seen."""


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    numbers = known.trade_numbers.clamp
    thickness = number_in("m", "18mm")
    joint.arguments(command)
    command.add_argument("--preload", type=band_in("N", "96kN"), required=True, help="of one fastener (calc fasteners)")
    command.add_argument(
        "--kept", nargs="+", type=percent("80"), metavar="PERCENT", help="preload that each has left (calc fasteners)"
    )
    command.add_argument("--lost", type=count, nargs="+", default=[], metavar="N", help="fasteners without clamp")
    command.add_argument("--face-width", type=number_in("m", "20mm"), metavar="W", required=True, help="of both")
    command.add_argument("--carrier", type=thickness, help="thickness of its flange")
    command.add_argument("--housing", type=thickness, help="thickness of its ring (default: so thick that it is stiff)")
    command.add_argument("--seal", choices=tuple(numbers.beds), required=True, help="what seals the joint")
    command.add_argument(
        "--bed", type=band_in("MPa/mm", "200MPa/mm"), metavar="STIFFNESS", help="of what seals it, where that is known"
    )
    command.add_argument(
        "--needs", type=band_in("Pa", "1.5MPa"), metavar="PRESSURE", help="that keeps a gasket tight, where it is known"
    )
    command.add_argument(
        "--follows", type=band_in("m", "0.05mm"), metavar="GAP", help="that sealant bears, where it is known"
    )


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    flange, kept, seal, found = _worked(args)
    field, share = found.field, sum(kept)
    rows = [
        Row("clamp of all fasteners", args.preload.likely * share, FORCE),
        Row("mean pressure", args.preload.likely * share / flange.width / flange.outline.around, PRESSED),
        *_verdict(seal, found),
        Row("it is at", _place(flange, float(field.places[found.worst]))),
        *([] if found.left is None else [Row("left there of what a sound joint has", found.left, SHARE)]),
        Row("chance that it does not hold", found.chance, CHANCE),
        *_stretches(flange, seal, found),
    ]
    words = [*_words(flange, seal, found), *joint.doubts(args.preload)]
    return Sheet(_title(args, kept), rows, words, _picture(flange, kept, seal, found), _more(flange, seal, field))


def svg(args: Namespace) -> str:
    """The flange as a map."""
    from leakdx.diagrams.flange import clamp_svg

    flange, kept, seal, found = _worked(args)
    size = "the faces part" if found.size is None else _size(seal, found.size)
    return clamp_svg(flange, kept, seal, found, "held" if seal.sticks and found.size is None else size,
                     _title(args, kept))  # fmt: skip


def _worked(args: Namespace) -> tuple[Flange, tuple[float, ...], Seal, Tightness]:
    """Flange, shares of preload, what seals it, and what comes of it."""
    numbers = args.known.trade_numbers.clamp
    line = joint.outline(args)
    stands = joint.fasteners(args, line)
    kept = shares_of([1.0] * len(stands), [each / 100 for each in args.kept or ()], args.lost).kept
    if args.carrier is None:
        raise UsageError("give --carrier, the thickness of its flange, such as 18mm; --axle names a family that has it")
    housing = None if args.housing is None else (args.housing, numbers.housing.gpa * 1e9)
    stiff = bending(args.face_width, (args.carrier, numbers.carrier.gpa * 1e9), housing)
    flange = Flange(line, stands, args.face_width, stiff)
    seal = _seal(args)
    return flange, kept, seal, tightness(flange, seal, args.preload, kept)


def _seal(args: Namespace) -> Seal:
    """What seals the joint, by the trade's numbers where its own are not given."""
    known = args.known.trade_numbers.clamp.beds[args.seal]
    bed = (args.bed or Band(*known.mpa_per_mm)).times(1e9)
    if known.follows_mm is None:
        if args.follows:
            raise UsageError(f"--follows is of a seal that sticks, and {known.words} is pressed; give --needs")
        return Seal(bed, args.needs or Band(*(known.tight_from_mpa or ())).times(1e6))
    if args.needs:
        raise UsageError(f"--needs is of a seal that is pressed, and {known.words} sticks; give --follows")
    return Seal(bed, args.follows or Band(*known.follows_mm).times(1e-3), sticks=True)


def _title(args: Namespace, kept: tuple[float, ...]) -> str:
    weak = " ".join(str(number) for number, share in enumerate(kept, 1) if share < _WEAK)
    shape = "A round" if args.radius is not None else "An oblong"
    without = f", weak or lost: {weak}" if weak else ""
    return f"{shape} joint of {len(kept)} fasteners{without}; {args.known.trade_numbers.clamp.beds[args.seal].words}"


def _verdict(seal: Seal, found: Tightness) -> list[Row]:
    """What the seal asks, and what it gets where that is worst."""
    parts = "none: the faces part"
    if not seal.sticks:
        return [Row("the gasket needs", seal.needs, PRESSED), Row("least pressure", found.size or parts, PRESSED)]
    return [
        Row("least pressure", float(found.field.pressure[found.field.least]) or parts, PRESSED),
        Row("the sealant follows a gap of", seal.needs, GAP),
        Row("faces open beyond that it cured in", found.size or "nowhere", GAP),
    ]


def _place(flange: Flange, place: float) -> str:
    """A place by the clock and by the fasteners beside it."""
    around = flange.outline.around
    ahead = [(place - at) % around for at in flange.places]
    near = min(range(len(ahead)), key=lambda each: min(ahead[each], around - ahead[each]))
    if min(ahead[near], around - ahead[near]) < around / 500:
        return f"{joint.shown(flange.outline, place)}, at fastener {near + 1}"
    behind = min(range(len(ahead)), key=ahead.__getitem__)
    return f"{joint.shown(flange.outline, place)}, between {behind + 1} and {(behind + 1) % len(ahead) + 1}"


def _stretches(flange: Flange, seal: Seal, found: Tightness) -> list[Row]:
    """Where the seal likely does not hold, and for how long; the longest few."""
    open_ = sorted(found.field.stretches(seal.is_open(found.field, found.sound)), key=lambda each: -each.length)
    rows = [Row(f"does not hold {_from_to(flange, each)}", each.length, LENGTH) for each in open_[:_MOST_ROWS]]
    if seal.sticks or not open_ or found.size is not None:
        gaps: list[Row] = []
    else:
        gaps = [Row("and gapes by up to", float(found.field.gap.max()), GAP)]
    more = [Row("and in shorter stretches", str(len(open_) - _MOST_ROWS))] if len(open_) > _MOST_ROWS else []
    return rows + gaps + more


def _from_to(flange: Flange, stretch: Stretch) -> str:
    if stretch.length >= flange.outline.around:
        return "all round"
    return f"from {joint.shown(flange.outline, stretch.start)} to {joint.shown(flange.outline, stretch.end)}"


def _words(flange: Flange, seal: Seal, found: Tightness) -> list[str]:
    if found.chance < 0.05:
        lines = ["The joint holds all round."]
    elif found.chance < 0.5:
        lines = ["It may not hold at the worst place; what is known of preload and seal does not settle it."]
    else:
        lines = ["Oil finds its way first where the joint holds least; see whether the wet place begins there."]
    if found.chance >= 0.05 and not seal.sticks:
        lines.append(
            "Even with all its clamp this joint is pressed too little between fasteners: look at pitch and thickness."
            if seal.is_open(found.sound, found.sound).any()
            else "With all its clamp it would be pressed enough everywhere."
        )
    if seal.sticks and found.sound.lifted:
        lines.append("Between fasteners the faces hardly touch even when sound: there the sealant fills what is left.")
    if 3 * flange.reach(seal.bed.likely) > min(flange.outline.high, flange.outline.wide) / 2:
        lines.append("The flange is stiff for its size and moves as a whole, so that this says it only roughly.")
    return lines


def _picture(flange: Flange, kept: tuple[float, ...], seal: Seal, found: Tightness) -> list[str]:
    """A sign for each pressure; numbers of the fasteners, lost ones in brackets."""
    field, mean, line = found.field, float(found.sound.pressure.mean()), flange.outline
    states = zip(field.load, field.pressure, seal.is_open(field, found.sound), strict=True)
    signs = [_sign(load, pressure / mean, is_open) for load, pressure, is_open in states]
    canvas = Canvas(line.wide / 2, line.high / 2)
    spots = line.spots(field.places)
    for sign in reversed(_SIGNS):
        canvas.dots((spot for spot, own in zip(spots, signs, strict=True) if own == sign), sign)
    stands = line.spots(np.array(flange.places))
    for number, (spot, share) in enumerate(zip(stands, kept, strict=True), 1):
        canvas.put(spot, f"[{number}]" if share < _LOST else str(number))
    return [
        *canvas.lines(),
        "seen from the pinion: ! does not hold, o does not touch, [n] a lost fastener; pressed,",
        f"of the mean of a sound joint: - less than {_HALF:.0%}, + less than {_WEAK:.0%}, # more",
    ]


def _sign(load: float, share: float, is_open: bool) -> str:
    if is_open:
        return "!"
    if load < 0:
        return "o"
    return "#" if share >= _WEAK else "+" if share >= _HALF else "-"


def _size(seal: Seal, size: Band) -> str:
    kind = GAP if seal.sticks else PRESSED
    inch, metric = (f"{three(kind.shown(size.likely, each))} {kind.written(each)}" for each in (False, True))
    return f"{'opens by' if seal.sticks else 'least:'} {inch} ({metric})"


def _more(flange: Flange, seal: Seal, field: Field) -> dict[str, object]:
    """The field for a map of one's own."""
    right, up = flange.outline.points(field.places)
    columns = {"clock": flange.outline.hours(field.places), "right": right, "up": up, "pressure": field.pressure,
               "gap": field.gap}  # fmt: skip
    chosen = range(0, len(field.load), max(1, len(field.load) // _SAMPLES))
    points = [{name: float(values[at]) for name, values in columns.items()} for at in chosen]
    return {"field": points, "reach": flange.reach(seal.bed.likely)}
