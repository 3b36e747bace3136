"""``leakdx calc cure``: how deep sealant has cured, or when it will have."""

from argparse import ArgumentParser, Namespace

from leakdx.commands.calc.sheet import HOURS, LENGTH, NUMBER, SHARE, TEMPERATURE, Row, Sheet, shown
from leakdx.commands.calc.typed import count, number_in, percent
from leakdx.explain.numbers import number
from leakdx.knowledge.model import Knowledge
from leakdx.mechanics import cure
from leakdx.mechanics.band import Band

ABOUT = """\
Say how deep one-part silicone has cured across the flange, by time, temperature and
humidity of the shop, and how long the whole width takes. Between two metal faces only
the edge sees air. The label's times rule where they differ."""
EXAMPLES = """\
examples:
  leakdx calc cure --flange 18mm --time 4h --air 50degF --humidity 40
  leakdx calc cure --flange 0.7in --time 24h
"""


def arguments(command: ArgumentParser, known: Knowledge) -> None:
    """What the command takes."""
    command.add_argument("--flange", type=number_in("m", "18mm"), required=True, help="width of the joint's face")
    command.add_argument("--time", type=number_in("s", "4h"), required=True, help="since it was closed")
    command.add_argument(
        "--air",
        type=number_in("degC", "20degC", signed=True),
        default=cure.USUAL_C,
        help="temperature (default: 23degC)",
    )
    command.add_argument(
        "--humidity", type=percent("50"), default=cure.USUAL_HUMIDITY, metavar="PERCENT", help="(default: 50)"
    )
    command.add_argument(
        "--edges", type=count, choices=(1, 2), default=1, help="that see air; 2 while the axle is open"
    )


def sheet(args: Namespace) -> Sheet:
    """The command's answer."""
    speed = args.known.trade_numbers.cure.depth_mm_per_root_day.as_band.times(1e-3)
    factor = cure.air_factor(args.air, args.humidity)
    deep = cure.depth(speed, args.time, factor)
    ends = (cure.share_cured(each, args.flange, args.edges) for each in (deep.low, deep.likely, deep.high))
    share = Band(*ends)
    rows = [
        Row("cured from the edge", deep, LENGTH),
        Row("of the flange's width", share, SHARE),
        Row("whole width takes", cure.time_for(speed, args.flange / args.edges, factor), HOURS),
        Row("half of it takes", cure.time_for(speed, args.flange / args.edges / 2, factor), HOURS),
        Row("this air by 23 °C (73 °F) and 50 %", factor, NUMBER),
    ]
    air = f"{shown(args.air, TEMPERATURE, args.units)} and {number(args.humidity, 'g')} % humidity"
    return Sheet(f"One-part silicone after {number(args.time / 3600, 'g')} h at {air}", rows, _words(args, share))


def _words(args: Namespace, share: Band) -> list[str]:
    numbers = args.known.trade_numbers.cure
    lines = [
        "Cured through." if share.low == 1 else
        "Likely cured through." if share.likely == 1 else
        "Not cured through yet: no load on it before the label's full-cure time."
    ]  # fmt: skip
    if not numbers.usual_c[0] <= args.air <= numbers.usual_c[1]:
        least, most = (shown(each, TEMPERATURE, args.units) for each in numbers.usual_c)
        lines.append(f"Labels speak of {least} to {most}; outside it this is a guess.")
    if not numbers.usual_humidity[0] <= args.humidity <= numbers.usual_humidity[1]:
        lines.append("In air so dry, or dripping wet, this is a guess.")
    return [*lines, "Twice the depth takes four times as long. The label's times rule where they differ."]
