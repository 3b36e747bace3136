"""Slip, leak rate, breather, cure, viscosity and seep."""

from leakdx.mechanics import breather, cure, leak, oil, seep, slip
from leakdx.mechanics.band import exactly
from leakdx.mechanics.breather import Filling
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks

PSI = 6894.757293168
ML_PER_H = 3.6e9
"""Millilitres an hour in a cubic metre a second."""
ML_PER_MIN, L_PER_DAY = ML_PER_H / 60, ML_PER_H * 24 / 1000
DROPS_PER_MIN = 20 * ML_PER_MIN


def _slip() -> tuple[Check, ...]:
    rings = [(16, 0.15, 96.08, 0.180, 41.507), (12, 0.12, 70, 0.200, 20.160), (20, 0.10, 60, 0.190, 22.800)]
    rows = []
    for count, friction, force, radius, value in rings:
        ours = slip.capacity(slip.flange([radius] * count), exactly(force), exactly(friction)).likely
        rows.append((f"{count} fasteners of {force:g} kN at {radius:g} m, friction {friction}", value, ours))
    as_one = slip.flange([1 / 3] * 3)  # three at a third of the arm hold what one does at the whole
    bolts = [
        (f"a 5/8 in A325 bolt, class {name} faces", value,
         slip.capacity(as_one, exactly(1.13 * 19), exactly(friction)).likely)
        for name, friction, value in (("A", 0.30, 6.441), ("B", 0.50, 10.735))
    ]  # fmt: skip
    # The published figure here is the rule Rn = mu Du hf Tb itself, with each class and each tension of its tables.
    by_rule = [
        (f"a {size} in A325 bolt, class {name} faces, by the rule", friction * 1.13 * tension,
         slip.capacity(as_one, exactly(1.13 * tension), exactly(friction)).likely)
        for name, friction, size, tension in (
            ("A as it was", 0.33, "5/8", 19), ("C", 0.35, "5/8", 19), ("A", 0.30, "1/2", 12), ("A", 0.30, "3/4", 28),
            ("A", 0.30, "7/8", 39), ("A", 0.30, "1", 51))
    ]  # fmt: skip
    return (
        *checks("Joint slip", "Coulomb", OWN, "kN m", 1e-3, rows),
        *checks("Joint slip", "AISC 360 J3.8", PAGE, "kip", 1e-4, bolts),
        *checks("Joint slip", "AISC 360 J3.8, RCSC", PAGE, "kip", 1e-9, by_rule),
    )


def _leak() -> tuple[Check, ...]:
    rates = [
        ("1 drop a minute", 1, 60, 0.05, 3, 0.072), ("1 drop in 10 s", 1, 10, 0.30, 18, 0.432),
        ("10 drops a minute", 10, 60, 0.50, 30, 0.720), ("20 drops a minute", 20, 60, 1.00, 60, 1.440),
        ("1 drop in 2 s", 1, 2, 1.50, 90, 2.160),
    ]  # fmt: skip
    found = [leak.from_drops(count, seconds, exactly(5e-8)).likely for _, count, seconds, *_ in rates]
    units = (("mL/min", ML_PER_MIN), ("mL/h", ML_PER_H), ("L/day", L_PER_DAY))
    return tuple(
        each
        for column, (unit, times) in enumerate(units, 3)
        for each in checks("Leak rate", "USP dropper, 20 drops to the mL", PAGE, unit, 1e-9,
                           [(row[0], float(row[column]), rate * times) for row, rate in zip(rates, found, strict=True)])
    )  # fmt: skip


def _breather() -> tuple[Check, ...]:
    air = [
        (f"{cold} to {hot} degC, air alone", value, breather.gauge_pressure(cold, hot) / 1e3)
        for cold, hot, value in ((20, 80, 20.739), (20, 110, 31.108), (0, 100, 37.095))
    ]
    fillings = [
        (90, 15, 10, 0.00065, 33.389), (90, 15, 10, 0.0007, 34.153), (90, 15, 10, 0.0008, 35.706),
        (100, 20, 8, 0.00065, 46.924), (100, 20, 8, 0.0007, 48.648), (100, 20, 8, 0.0008, 52.218),
    ]  # fmt: skip
    both = []
    less_air = [
        (f"air that 15 L oil growing {growth:g} /K from 20 to 90 degC takes of 10 L", value,
         10 * (1 - breather.squeezed_by(growth * 15 * 70, Filling(15, 10, 890))))
        for growth, value in ((0.00065, 0.6825), (0.0007, 0.735), (0.0008, 0.840))
    ]  # fmt: skip
    for hot, wet, dry, growth, value in fillings:
        squeezed = breather.squeezed_by(growth * wet * (hot - 20), Filling(wet, dry, 890))
        ours = breather.gauge_pressure(20, hot, squeezed=squeezed) / 1e3
        both.append((f"20 to {hot} degC, {wet} L oil growing {growth:g} /K, {dry} L air", value, ours))
    both.append(
        ("20 to 90 degC, 15 L oil, 10 L air", 35.027, breather.closed_pressure(20, 90, Filling(15, 10, 890)) / 1e3)
    )
    psi = [
        (f"{cold} to {hot} degC, air alone", value, breather.gauge_pressure(cold, hot) / PSI)
        for cold, hot, value in ((20, 80, 3.008), (20, 110, 4.512), (0, 100, 5.380))
    ]
    return (
        *checks("Breather", "gas law at constant volume", PAGE, "kPa", 1e-4, air),
        *checks("Breather", "gas law at constant volume", OWN, "psi", 1e-3, psi),
        *checks("Breather", "gas law and the oil's growth", OWN, "kPa", 1e-3, both),
        *checks("Breather", "growth times volume", OWN, "L", 1e-9, less_air),
    )


def _growth() -> tuple[Check, ...]:
    standard = "API MPMS 11.1 / ASTM D1250, lubricating oils"
    densities = ((850, 7.386e-4), (890, 7.054e-4), (900, 6.976e-4), (950, 6.608e-4))
    factors = ((20, 0.99647), (60, 0.96798), (90, 0.94635), (-20, 1.02450))
    rows = [(f"growth for each K at density {density}", value, oil.expansion(density)) for density, value in densities]
    rows += [(f"CTL at {t} degC, density 890", value, oil.volume_factor(890, t)) for t, value in factors]
    litres = oil.grown(15, 890, 20, 90)
    mean = ("mean growth for each K from 20 to 90 degC, density 890", 7.57e-4, (litres / 15 - 1) / 70)
    grown = ("15 L at 20 degC, grown at 90 degC", 15.794, litres)
    return (
        *checks("Oil", standard, PAGE, "", 1e-3, rows),
        *checks("Oil", standard, OWN, "", 1e-3, [mean]),
        *checks("Oil", standard, OWN, "L", 1e-4, [grown]),
    )


def _cure() -> tuple[Check, ...]:
    hours_after = (1, 4, 12, 24, 48, 168)
    table = {2: (0.408, 0.816, 1.414, 2, 2.828, 5.292), 3: (0.612, 1.225, 2.121, 3, 4.243, 7.937),
             4: (0.816, 1.633, 2.828, 4, 5.657, 10.583)}  # fmt: skip
    depths = [(a, hours, deep) for a, row in table.items() for hours, deep in zip(hours_after, row, strict=True)]
    times = [(2, 6, 216), (3, 6, 96), (4, 6, 54), (3, 0.5, 0.667), (3, 1, 2.667), (3, 2, 10.667)]
    airs = [(23, 30, 0.7746), (23, 80, 1.2649), (10, 50, 0.6613), (5, 80, 0.7052), (0, 50, 0.4668), (35, 60, 1.5506)]
    root, law = "square-root law at {} mm in the first day", "Comyn 1998, the law"
    deep = [
        (f"depth after {hours} h, {root.format(a)}", value, cure.depth(exactly(a), hours * 3600).likely)
        for a, hours, value in depths
    ]
    long = [
        (f"time for {depth} mm, {root.format(a)}", value, cure.time_for(exactly(a), depth).likely / 3600)
        for a, depth, value in times
    ]
    in_air = [(f"depth in air of {t} degC and {h} %, factor", value, cure.air_factor(t, h)) for t, h, value in airs]
    steam = [
        (f"vapour over water at {celsius} degC", value, cure.vapour_pressure(celsius, 100))
        for celsius, value in ((5, 872.6), (20, 2339), (35, 5629), (50, 12_352))
    ]
    front = ("a front of 7.5 mm in 7 days, in the first day", 2.83, 7.5 / cure.depth(exactly(1), 7 * cure.DAY).likely)
    return (
        *checks("Cure", law, PAGE, "mm", 1e-3, deep),
        *checks("Cure", law, PAGE, "h", 1e-3, long),
        *checks("Cure", "vapour pressure by Magnus", OWN, "", 1e-3, in_air),
        *checks(
            "Cure", "Magnus", PAGE, "Pa", 1e-4, [("vapour at 23 degC and 50 %", 1401.9, cure.vapour_pressure(23, 50))]
        ),
        *checks("Cure", "steam tables", MEMORY, "Pa", 5e-3, steam),
        *checks("Cure", "a data sheet quoted in 2021", PAGE, "mm", 2e-3, [front]),
    )


def _viscosity() -> tuple[Check, ...]:
    sheets = [
        (32, 5.4, {80: 8.533}), (150, 15, {0: 2991.3, 20: 535.95, 60: 57.17, 80: 27.09, 120: 9.308}),
        (115, 15.5, {0: 1345.1, 20: 332.65, 60: 50.43, 80: 26.25, 120: 10.056}),
    ]  # fmt: skip
    rows = [
        (f"an oil of {at_40} and {at_100} mm2/s, at {t} degC", value, oil.viscosity_law(at_40, at_100).at(t))
        for at_40, at_100, values in sheets
        for t, value in values.items()
    ]
    lines = [(32, 5.4, 9.53082, 3.74658), (150, 15, 8.87413, 3.42023), (115, 15.5, 7.91870, 3.04683)]
    fits = [(f"{name} of {at_40} and {at_100} mm2/s", value, getattr(oil.viscosity_law(at_40, at_100), name.lower()))
            for at_40, at_100, *both in lines for name, value in zip("AB", both, strict=True)]  # fmt: skip
    law = oil.viscosity_law(32, 5.4, zero=273)
    worked = [
        ("A of 32 and 5.4 mm2/s, from 273 K", 9.5259, law.a),
        ("B of 32 and 5.4 mm2/s, from 273 K", 3.7449, law.b),
    ]
    return (
        *checks("Oil", "ASTM D341", OWN, "mm2/s", 5e-4, rows),
        *checks("Oil", "ASTM D341", OWN, "", 1e-5, fits),
        *checks("Oil", "ASTM D341, a worked example", PAGE, "", 1e-4, worked),
        *checks("Oil", "ASTM D341, a data sheet", PAGE, "mm2/s", 5e-3, [("the same oil at 80 degC", 8.5, law.at(80))]),
    )


def _seep() -> tuple[Check, ...]:
    gaps = [
        (20, 50, 15, 500, 20, 6.3857e-11, 0.22989, 0.0766), (40, 50, 15, 500, 20, 5.1086e-10, 1.83908, 0.6130),
        (20, 50, 150, 500, 20, 6.3857e-12, 0.02299, 0.0077), (50, 30, 100, 1000, 15, 2.3946e-10, 0.86207, 0.2874),
    ]  # fmt: skip
    flows: dict[str, list[tuple[str, float, float]]] = {"m3/s": [], "mL/h": [], "drops/min": []}
    for gap, wide, thick, pressure, long, *values in gaps:
        slot = seep.Slot(wide / 1e3, long / 1e3)
        ours = slot.flow(gap * 1e-6, pressure, seep.dynamic(thick, 870))
        what = f"{gap} um, {wide} mm wide, {long} mm long, {thick} mm2/s, {pressure} Pa"
        for unit, times, value in zip(flows, (1, ML_PER_H, DROPS_PER_MIN), values, strict=True):
            flows[unit].append((what, value, ours * times))
    return (
        *(
            each
            for unit, rows in flows.items()
            for each in checks("Seep", "plane Poiseuille flow", PAGE, unit, 5e-3 if unit == "drops/min" else 1e-3, rows)
        ),
        *checks(
            "Seep", "hydrostatics", OWN, "Pa", 1e-5, [("head of 100 mm of oil, 870 kg/m3", 853.18, seep.head(0.1, 870))]
        ),
    )


CHECKS = (*_slip(), *_leak(), *_breather(), *_cure(), *_growth(), *_viscosity(), *_seep())
