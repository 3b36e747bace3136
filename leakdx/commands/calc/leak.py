"""``leakdx calc leak``: how much oil is lost, how long it lasts, which gap that needs."""

from argparse import ArgumentParser, Namespace

from leakdx.commands.calc.sheet import (
    DAYS,
    DISTANCE,
    GAP,
    LENGTH,
    LOSS,
    RATE,
    TEMPERATURE,
    VISCOSITY,
    Row,
    Sheet,
    shown,
)
from leakdx.commands.calc.typed import band_in, count, given_or, never_with, number_in, only_with, plain
from leakdx.errors import UsageError
from leakdx.explain.numbers import number
from leakdx.knowledge.model import Knowledge
from leakdx.measured.drips import DripsRead, standing_rate, wetness
from leakdx.measured.fields import from_names
from leakdx.mechanics import leak, oil, seep
from leakdx.mechanics.band import Band, exactly
from leakdx.mechanics.given import between
from leakdx.mechanics.leak import ML, WHAT_THEN, Wetness
from leakdx.mechanics.seep import Slot

ABOUT = """\
Work out a leak's rate from drops, the growth of a stain, the fall of the level, or what
was topped off, with the band that such a reading deserves; from it the loss for each
distance, the days to the low mark, and the gap that such a rate needs."""
EXAMPLES = """\
examples:
  leakdx calc leak --drops 12 --in 10min
  leakdx calc leak --topped 0.5L --in 40h --speed 40mph --drops-too 3 --counted 10min
  leakdx calc leak --stain 200cm^2 --on card --in 12h --arc 50mm --flange 20mm \\
    --head 100mm --oil 85W-140 --at 20degC
"""
_FLANGE, _HEAD, _OIL, _WARMTH = 0.02, 0.1, "80W-90", 20.0
"""m, m, a name and degC; where none is given."""
_LAW = "49 CFR 396.5 wants a vehicle free of oil leaks, and names no rate that would pass."
_OF_A_GAP = ("flange", "head", "pressure", "oil", "sheet", "at")
_OF_A_RATE = ("time", "on", "surface", "to_low", "hours", "speed", "drops_too", "counted", "arc", *_OF_A_GAP)


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    numbers = known.trade_numbers
    volume, length, time = number_in("m^3", "0.5L"), number_in("m", "100mm"), number_in("s", "10min")
    how = command.add_mutually_exclusive_group(required=True)
    how.add_argument("--drops", type=count, metavar="N", help="drops counted, standing")
    how.add_argument("--stain", type=number_in("m^2", "200cm^2"), metavar="AREA", help="growth of a stain, standing")
    how.add_argument("--fall", type=length, metavar="H", help="fall of the level, at work: a height")
    wet = [each.name.lower() for each in Wetness]
    how.add_argument("--seen", choices=wet, metavar="HOW", help=f"only how wet it is, no rate: {', '.join(wet)}")
    how.add_argument("--topped", type=volume, metavar="V", help="what was topped off, at work: a volume")
    command.add_argument("--in", dest="time", type=time, metavar="TIME", help="how long that took")
    command.add_argument("--on", choices=tuple(numbers.leak.surfaces), help="what the stain is on (default: floor)")
    command.add_argument("--surface", type=band_in("m^2", "1000cm^2"), help="of the oil in the axle, for --fall")
    command.add_argument("--to-low", type=band_in("m^3", "1.5L"), help="from the level to the low mark")
    command.add_argument(
        "--hours", type=plain("9", "h"), metavar="H", help="a day that it leaks (standing: 24, at work: a shift)"
    )
    command.add_argument("--speed", type=number_in("m/s", "40mph"), help="mean speed, for the loss over a distance")
    command.add_argument(
        "--drops-too", type=count, metavar="N", help="drops counted standing, beside --topped or --fall"
    )
    command.add_argument("--counted", type=time, metavar="TIME", help="how long those were counted")
    command.add_argument("--arc", type=length, help="wet length of the joint; says which gap the rate needs")
    command.add_argument("--flange", type=length, help="width of the joint's face (default: 20mm)")
    command.add_argument("--head", type=length, help="oil above it (default: 100mm)")
    command.add_argument("--pressure", type=number_in("Pa", "20kPa"), help="in the axle (calc breather)")
    command.add_argument("--oil", choices=tuple(numbers.oils), help="(default: 80W-90)")
    command.add_argument(
        "--sheet",
        nargs=2,
        type=plain("15.5"),
        metavar=("AT40", "AT100"),
        help="another oil: its sheet's viscosity at 40 and 100 degC, mm2/s",
    )
    command.add_argument(
        "--at", type=number_in("degC", "20degC", signed=True), help="the oil's warmth (default: 20degC)"
    )


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    _fitting(args)
    if args.seen is not None:
        return Sheet("How wet it is", [], _wet_words(Wetness[args.seen.upper()]))
    if args.time is None:
        raise UsageError("a rate needs how long it took; give it with --in, such as --in 10min")
    numbers = args.known.trade_numbers.leak
    rate, standing = _rate(args)
    hours = numbers.hours_a_day.as_band if not standing else Band(23.9, 24, 24)
    if args.hours is not None:
        hours = exactly(between("the hours a day", args.hours, 0.1, 24, "give how long it leaks each day, such as 9"))
    to_low = args.to_low or numbers.to_low_l.as_band.times(1e-3)
    days = leak.days_to_low(rate, to_low, hours)
    rows = [Row("leaks", rate, RATE), Row("days to the low mark", days, DAYS)]
    if args.speed is not None:
        loss = leak.per_distance(rate, args.speed)
        rows += [Row("loss over a distance", loss, LOSS), Row("distance to the low mark", to_low.over(loss), DISTANCE)]
    words = _wet_words(wetness(from_names(DripsRead, args))) if standing else _lost_words(args)
    if standing and args.speed is not None:
        words.append("It was seen standing; on the road heat, pressure and movement may drive it faster.")
    if args.drops_too is not None:
        words.append(_held_against(args, rate))
    if args.arc is not None:
        rows += _gap_rows(args, rate)
        words += _stiff(args)
    return Sheet("Leak rate", rows, [*words, _doubt(args)])


def _fitting(args: Namespace) -> None:
    """UsageError where something is given that would go unused."""
    never_with(args, _OF_A_RATE, "seen", "it says how wet it is, and no rate")
    never_with(args, ("oil",), "sheet", "that is another oil")
    only_with(args, ("on",), "stain", "give the area by which it grew")
    only_with(args, ("surface",), "fall", "give how far the level fell")
    only_with(args, ("counted",), "drops_too", "give how many drops fell in that time")
    only_with(args, _OF_A_GAP, "arc", "give the wet length of the joint, from which the gap follows")


def _rate(args: Namespace) -> tuple[Band, bool]:
    """The rate, and whether it was seen standing."""
    numbers = args.known.trade_numbers.leak
    if args.drops is not None or args.stain is not None:
        return standing_rate(from_names(DripsRead, args), numbers), True
    if args.fall is not None:
        surface = args.surface or numbers.surface_cm2.as_band.times(1e-4)
        return leak.from_level(args.fall, args.time, surface), False
    return leak.from_volume(args.topped, args.time), False


def _wet_words(wet: Wetness) -> list[str]:
    lines = [f"How wet: {wet}.", WHAT_THEN[wet]]
    if wet is not Wetness.DRY:
        lines.append(_LAW)
    return lines


def _lost_words(args: Namespace) -> list[str]:
    """What goes down at work says how wet it is only where drops were counted too."""
    if args.drops_too and args.counted:
        return _wet_words(leak.wetness(args.drops_too / args.counted))
    return ["Oil is lost at work: report it at once, and look at the level, for it goes down.", _LAW]


def _held_against(args: Namespace, rate: Band) -> str:
    """The road's rate beside the standing one."""
    if args.counted is None or args.drops is not None or args.stain is not None:
        raise UsageError("--drops-too goes with --counted and with --topped or --fall; say how long they were counted")
    standing = leak.from_drops(args.drops_too, args.counted, args.known.trade_numbers.leak.drop_ml.as_band.times(ML))
    found = leak.compared(rate, standing)
    low, likely, high = (number(each, ".2g") for each in (found.ratio.low, found.ratio.likely, found.ratio.high))
    return f"At work by standing: {likely} ({low} to {high}); {found.words}."


def _gap_rows(args: Namespace, rate: Band) -> list[Row]:
    """The gap that the rate needs, by the flow between two faces."""
    numbers = args.known.trade_numbers
    name = args.oil or _OIL
    kind, warmth = numbers.oils[name], given_or(args.at, _WARMTH)
    at_40, at_100 = args.sheet or (kind.at_40, kind.at_100)
    thickness = oil.viscosity_law(at_40, at_100).at(warmth)
    if args.sheet:
        name = f"oil of grade {oil.grade_at(at_100, numbers.viscosity_grades) or 'below all'}"
    density = oil.density(kind.density_15, warmth)
    pressure = seep.head(given_or(args.head, _HEAD), density) + given_or(args.pressure, 0)
    slot, runny = Slot(args.arc, given_or(args.flange, _FLANGE)), seep.dynamic(thickness, density)
    gap = Band(*(slot.gap_for(each, pressure, runny) for each in (rate.low, rate.likely, rate.high)))
    return [
        Row(f"{name} at {shown(warmth, TEMPERATURE, args.units)}", thickness, VISCOSITY),
        Row("gap that this needs", gap, GAP),
        Row("along an arc of", args.arc, LENGTH),
    ]


def _stiff(args: Namespace) -> list[str]:
    """Whether a named oil is colder than its W grade is made for."""
    name = args.oil or _OIL
    coldest, _ = args.known.trade_numbers.viscosity_grades.winter.get(name.split("-")[0], (-99.0, 0.0))
    if args.sheet or given_or(args.at, _WARMTH) >= coldest:
        return []
    return [f"{name} is not made to flow below {shown(coldest, TEMPERATURE, args.units)}: warm it, then look again."]


def _doubt(args: Namespace) -> str:
    if args.drops is not None:
        return "A drop of oil is a twentieth to a forty-fifth of a millilitre; catch it in a cup for a better figure."
    if args.stain is not None:
        return "A stain says little of its depth; weigh the card, or catch the oil, for a better figure."
    if args.fall is not None:
        return "A level says little without the oil's surface; note what it takes to fill it again."
    return "Good to about a tenth, where it was full before."
