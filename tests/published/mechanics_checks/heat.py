"""Weld heat: peak temperature, fields, cooling."""

from leakdx.mechanics import weld, weld_field
from leakdx.mechanics.weld import Metal, Weld
from leakdx.mechanics.weld_field import Arc
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks

AREA = "Weld heat"
HANDBOOK = "welding handbook, example of the peak temperature equation"
STEEL = Metal(4.4e6, 1510, 28.0, 28.0 / 4.4e6)
LINE = Metal(41 / 9.1e-6, 1510, 41, 9.1e-6)
NEVER_MELTS = Metal(41 / 9.1e-6, 1e6, 41, 9.1e-6)
"""The law knows no melting, ours stops at it."""
POWER, SPEED = 4000.0, 0.005
ARC = Arc(POWER, SPEED, 25, LINE)


def bead(heat: float = 720_000, wall: float = 0.005, start: float = 25) -> Weld:
    return Weld(heat, wall, start, STEEL)


def moving(wall: float = 0.006) -> Weld:
    return Weld(POWER / SPEED, wall, 25, LINE)


def _peaks() -> tuple[Check, ...]:
    widths = [
        ("width heated to 730 degC", 5.9, 1e3 * weld.thin_reach(bead(), 730)),
        ("width heated to 430 degC, preheated to 200 degC", 28.4, 1e3 * weld.thin_reach(bead(start=200), 430)),
    ]
    recalled = ("width heated to 430 degC", 14.2, 1e3 * weld.thin_reach(bead(), 430))
    hot = [
        ("peak at 1.5 mm", 1184, weld.thin_peak(bead(), 0.0015)),
        ("peak at 3.0 mm", 976, weld.thin_peak(bead(), 0.003)),
    ]
    thick = [
        (f"peak in a thick body at {distance} mm", value, weld.thick_peak(moving(), distance / 1000))
        for distance, value in ((8, 674.76), (12, 313.78))
    ]
    # The example's own figures: what is left of the law when all else is divided out.
    rise = 1 / (weld.thin_peak(bead(), 0.003) - 25) - 1 / (1510 - 25)
    factor = [("factor of the peak temperature equation", 4.13, rise * 720 / (0.0044 * 5 * 3))]
    beyond = weld.thick_peak(Weld(POWER / SPEED, 1, 25, NEVER_MELTS), 0.005)
    thick.append(("peak in a thick body at 5 mm, which has melted there", 1688.39, beyond))
    return (
        *checks(AREA, HANDBOOK, PAGE, "mm", 0.005, widths),
        *checks(AREA, HANDBOOK, PAGE, "J/mm", 1e-9,
                [("heat of 20 V, 200 A, 5 mm/s, 0.9", 720, weld.heat_input(20, 200, 0.005, 0.9) / 1000)]),
        *checks(AREA, HANDBOOK, PAGE, "", 1e-3, factor),
        *checks(AREA, HANDBOOK, MEMORY, "mm", 0.005, [recalled]),
        *checks(AREA, HANDBOOK, MEMORY, "degC", 0.001, hot),
        *checks(AREA, "Rosenthal", OWN, "degC", 1e-4, thick),
    )  # fmt: skip


def _beads() -> tuple[Check, ...]:
    rows = [
        ("stick", 24, 120, 3, 0.8, 768, 3.936, 26.63), ("wire", 25, 220, 6, 0.8, 733.3, 3.758, 25.43),
        ("tungsten", 12, 150, 2, 0.6, 540, 2.767, 18.72),
    ]  # fmt: skip
    heats, widths = [], []
    for name, volts, amperes, speed, share, heat, near, far in rows:
        ours = weld.heat_input(volts, amperes, speed / 1000, share)
        heats.append((f"heat, {name}, {volts} V, {amperes} A, {speed} mm/s", heat, ours / 1000))
        for celsius, value in ((730, near), (200, far)):
            reach = weld.thin_reach(bead(ours, 0.008), celsius)
            widths.append((f"{celsius} degC reaches, {name}, wall 8 mm", value, 1e3 * reach))
    return (
        *checks(AREA, "heat input with the efficiency of EN 1011-1", OWN, "J/mm", 1e-3, heats),
        *checks(AREA, "Adams", OWN, "mm", 1e-3, widths),
    )


def _fields() -> tuple[Check, ...]:
    thick = [("5 mm beside", 0, 5, 811.26), ("5 mm behind", -5, 0, 3130.46), ("10 mm behind", -10, 0, 1577.73)]
    thin = [("10 mm beside", 0, 10, 145.607), ("20 mm behind", -20, 0, 1379.95)]
    rows = [(f"thick body, {at}", value, weld_field.thick_field(ARC, x / 1e3, y / 1e3)) for at, x, y, value in thick]
    rows += [
        (f"thin plate, {at}", value, weld_field.thin_field(ARC, 0.006, x / 1e3, y / 1e3)) for at, x, y, value in thin
    ]
    return checks(AREA, "Rosenthal", OWN, "degC", 1e-5, rows)


def _cooling() -> tuple[Check, ...]:
    times = [
        ("800 to 500 degC, thick", 2.5308, weld.cooling_time(moving(1))),
        ("800 to 500 degC, 6 mm", 21.192, weld.cooling_time(moving())),
    ]
    rates = [
        ("cooling rate at 550 degC, 6 mm", 7.779, weld.cooling_rate(bead(wall=0.006), 550)),
        ("cooling rate at 550 degC, thick", 67.35, weld.cooling_rate(bead(wall=0.5), 550)),
    ]
    switch = [("relative thickness from which a plate counts as thick", 0.75, weld.SWITCH)]
    tau = weld.relative_thickness(bead(wall=0.006), 550)
    return (
        *checks(AREA, "EN 1011-2, the formula", PAGE, "s", 1e-4, times),
        *checks(AREA, "welding handbook", PAGE, "K/s", 1e-3, rates),
        *checks(AREA, "welding handbook", PAGE, "", 1e-9, switch),
        *checks(AREA, "welding handbook", PAGE, "", 1e-4, [("relative thickness, 6 mm, 550 degC", 0.33985, tau)]),
    )


CHECKS = (*_peaks(), *_beads(), *_fields(), *_cooling())
