"""``leakdx calc breather``: pressure in an axle whose breather is shut."""

from argparse import ArgumentParser, Namespace

from leakdx.commands.calc.sheet import CHANCE, LENGTH, NUMBER, PRESSURE, TEMPERATURE, VOLUME, Row, Sheet, shown
from leakdx.commands.calc.typed import number_in
from leakdx.errors import UsageError
from leakdx.knowledge.model import Knowledge
from leakdx.mechanics import breather, oil, seep
from leakdx.mechanics.band import exactly
from leakdx.mechanics.breather import ATMOSPHERE, Filling

ABOUT = """\
Say what pressure stands in an axle with its breather shut, after warming from cold to
hot: air by the gas law, oil by its growth, where both volumes are given."""
EXAMPLES = """\
examples:
  leakdx calc breather --cold 20degC --hot 80degC
  leakdx calc breather --cold 40degF --hot 200degF --oil-volume 32pint \\
    --air 10L --oil 85W-140
"""


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    degrees = number_in("degC", "20degC", signed=True)
    volume = number_in("m^3", "15L")
    command.add_argument("--cold", type=degrees, required=True, help="when it was closed or last even with the outside")
    command.add_argument("--hot", type=degrees, required=True, help="at work")
    command.add_argument("--oil-volume", type=volume, help="oil in the axle")
    command.add_argument("--air", type=volume, help="air above it")
    command.add_argument("--oil", choices=tuple(known.trade_numbers.oils), default="80W-90", help="for its growth")
    command.add_argument("--outside", type=number_in("Pa", "101kPa"), default=ATMOSPHERE, help="(default: sea level)")


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    if (args.oil_volume is None) != (args.air is None):
        raise UsageError("--oil-volume and --air go together; give both, or neither for the air by itself")
    density = args.known.trade_numbers.oils[args.oil].density_15
    pressure = breather.gauge_pressure(args.cold, args.hot, args.outside)
    rows = []
    if args.oil_volume is not None and args.air is not None:
        pressure = breather.closed_pressure(
            args.cold, args.hot, Filling(args.oil_volume, args.air, density), args.outside
        )
        rows.append(
            Row("oil grows by", oil.grown(args.oil_volume, density, args.cold, args.hot) - args.oil_volume, VOLUME)
        )
    lip = args.known.trade_numbers.breather.seal_lip_kpa.as_band.times(1e3)
    beyond = exactly(pressure).chance_above_band(lip) if pressure > 0 else 0.0
    height = seep.column(pressure, oil.density(density, args.hot))
    rows.append(Row("pressure over the outside", pressure, PRESSURE))
    if pressure > 0:
        rows += [
            Row("as a column of oil", height, LENGTH),
            Row("times what 100 mm (4 in) of oil press", height / 0.1, NUMBER),
            Row("a lip seal bears", lip, PRESSURE),
            Row("chance that it lifts", beyond, CHANCE),
        ]
    cold, hot = (shown(each, TEMPERATURE, args.units) for each in (args.cold, args.hot))
    return Sheet(f"Breather shut, from {cold} to {hot}", rows, _words(pressure, beyond))


def _words(pressure: float, beyond: float) -> list[str]:
    if pressure == 0:
        return ["Neither warmer nor colder, it holds no pressure: give how hot it gets at work."]
    if pressure < 0:
        return ["It draws a vacuum as it cools: water and dirt are pulled in at every lip and joint."]
    said = "Enough to push oil past lips and joints" if beyond >= 0.5 else "Enough to make every seep faster"
    return [
        f"{said}: free the breather before any seal is judged or changed.",
        "Each cooling draws air in again past what leaks, so the pressure comes back with every warming.",
    ]
