"""What an axle family of the knowledge gives a calculation, so that it need not be typed."""

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping

from leakdx.errors import UsageError
from leakdx.measured.axle import COUNT, Given


def axle_arguments(command: ArgumentParser) -> None:
    """What names the family."""
    command.add_argument("--axle", metavar="FAMILY", help="an axle family of the knowledge, for what is not given here")


def fill(args: Namespace, wanted: Mapping[str, Given]) -> None:
    """Put the family's values where none are given.

    UsageError: no such family, or a count that is not the family's.
    """
    if args.axle is None:
        return
    from leakdx.quantities import convert

    axles = args.known.axles
    if args.axle not in axles:
        raise UsageError(f"there is no axle family '{args.axle[:40]}'; known are {', '.join(axles)}")
    axle = axles[args.axle]
    for option, given in wanted.items():
        own = axle.values.get(given.value)
        if own is None or any(getattr(args, each, None) is not None for each in given.instead):
            continue
        value = convert(repr(float(own.value)), own.unit, given.unit)
        if getattr(args, option, None) is None:
            setattr(args, option, round(value) if given is COUNT else value)
        elif given is COUNT and args.count != round(value):
            raise UsageError(f"{args.count} fasteners do not fit {axle.name}, which has {value:g}; count them again")
