"""A face by any of the three ways of measuring it, and what the rule for a gasket says of it as it was read."""

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from leakdx.commands.calc import around
from leakdx.commands.calc.around import Read, Typed
from leakdx.commands.calc.facemap import Label
from leakdx.errors import UsageError
from leakdx.mechanics.flatness import Face, Gap, Height, Seen, face, largest
from leakdx.mechanics.places import Place
from leakdx.mechanics.trade import trade
from leakdx.quantities import convert

WAYS = ("dial", "gaps", "blade")


class Rule(StrEnum):
    """What was read against the limit, at the fineness it was read in."""

    STOPS = "stops it"
    PASSES = "lets it pass"
    UNASKED = "cannot be asked"


@dataclass(frozen=True)
class Measured:
    """A face and what was read on it.

    ``unit``: as typed; ``worst``: the places that make the face as bad as it is; ``face``: where heights were read.
    """

    way: str
    unit: str
    seen: Seen
    rule: Rule
    worst: tuple[Place, ...]
    labels: tuple[Label, ...]
    face: Face | None = None


def limit_of(args: Namespace) -> Typed:
    """The limit that was given, or that of the trade."""
    usual = trade().flatness.limit
    if isinstance(args.limit, float):  # an axle family's, in m
        return Typed(f"{args.limit / 0.0254:.6g}", "in")
    return args.limit or Typed(str(usual.value), usual.unit)


def measured(args: Namespace) -> Measured:
    """What was measured, by the one way that was given."""
    given = [way for way in WAYS if getattr(args, way) is not None]
    if len(given) != 1:
        raise UsageError("give one of --dial, --gaps and --blade; 'leakdx calc flatness -h' shows each")
    if given != ["blade"] and (args.enters or args.stays_out):
        raise UsageError("--enters and --stays-out belong to --blade; give its thickness, as --blade 0.005in")
    if given == ["dial"]:
        return _by_dial(around.readings(args.dial, args, "--dial"), args)
    return _by_gaps(around.readings(args.gaps, args, "--gaps"), args) if given == ["gaps"] else _by_blade(args)


def _by_dial(read: Sequence[Read], args: Namespace) -> Measured:
    for at, each in enumerate(read, 1):
        if each.low is not each.high:
            raise UsageError(f"--dial, reading {at}: a dial shows one number; write it as {each.place.name}=1.5")
    numbers = trade().flatness
    heights = [Height(each.place, each.low.metres) for each in read]
    found = face(heights, _gauge(args, numbers.dial.metres), numbers.highest.metres)
    unit, digits = read[0].low.unit, max(each.low.decimals for each in read)
    zone = Typed(f"{convert(f'{found.zone:.12e}', 'm', unit):.{digits}f}", unit)
    labels = tuple(
        Label(spot.place, spot.height, spot.height, carries=spot.place in found.carriers, signed=True)
        for spot in found.spots
    )
    way = f"heights at {len(found.spots)} places"
    return Measured(way, unit, found.seen, _rule(zone, limit_of(args)), found.carriers, labels, found)


def _by_gaps(read: Sequence[Read], args: Namespace) -> Measured:
    numbers = trade().flatness
    gaps = [Gap(each.place, each.low.metres, each.high.metres) for each in read]
    seen = largest(gaps, _gauge(args, numbers.feeler.metres), numbers.highest.metres)
    widest = max(read, key=lambda each: each.low.metres)
    worst = tuple(gap.place for gap in gaps if gap.high == seen.high)
    way = f"gaps under a straight edge at {len(gaps)} places"
    return Measured(way, widest.low.unit, seen, _rule(widest.low, limit_of(args)), worst, _labels(gaps, seen))


def _by_blade(args: Namespace) -> Measured:
    """A blade as thick as the limit that enters anywhere stops the gasket; a thinner one that enters says little."""
    into = around.places(args.enters, args, "--enters")
    out = around.places(args.stays_out, args, "--stays-out")
    for place in out:
        if any((place.turn, place.radius) == (other.turn, other.radius) for other in into):
            raise UsageError(f"the blade both enters and stays out at {place.name}; try it again there")
    numbers, limit, blade = trade().flatness, limit_of(args), args.blade
    gaps = [*(Gap(each, blade.metres, float("inf")) for each in into), *(Gap(each, 0, blade.metres) for each in out)]
    seen = largest(gaps, _gauge(args, numbers.feeler.metres), numbers.highest.metres)
    if into:
        rule = Rule.UNASKED if blade.is_below(limit) else Rule.STOPS
    else:
        rule = Rule.UNASKED if blade.is_beyond(limit) else Rule.PASSES
    way = f"one blade tried at {len(gaps)} places"
    return Measured(way, blade.unit, seen, rule, tuple(into), _labels(gaps, seen))


def _labels(gaps: Sequence[Gap], seen: Seen) -> tuple[Label, ...]:
    return tuple(Label(gap.place, gap.low, gap.high, carries=0 < gap.low == seen.low) for gap in gaps)


def _gauge(args: Namespace, usual: float) -> float:
    return usual if args.gauge is None else float(args.gauge)


def _rule(read: Typed, limit: Typed) -> Rule:
    return Rule.STOPS if read.is_beyond(limit) else Rule.PASSES
