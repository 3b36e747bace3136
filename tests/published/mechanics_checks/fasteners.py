"""Threads, strengths, torque and preload."""

from leakdx.mechanics import preload
from leakdx.mechanics.band import exactly
from leakdx.mechanics.threads import INCH, Thread, read_grade, read_thread, strength
from leakdx.mechanics.trade import Strength
from leakdx.quantities import convert
from tests.published.mechanics_checks.check import MEMORY, OWN, PAGE, Check, checks
from tests.shipped import trade

AREA = "Fasteners"
LBF = 4.4482216152605
FT_LBF = 1.3558179483314004
IN_LBF = FT_LBF / 12
FIVE_EIGHTHS = 0.625 * INCH
ORDERED = 225 * FT_LBF

DRY = (
    23.6,
    27.6,
    28.0,
    29.4,
    30.3,
    30.7,
    32.9,
    33.8,
    33.8,
    33.8,
    34.7,
    35.6,
    35.6,
    37.4,
    37.8,
    37.8,
    39.2,
    40.0,
    40.5,
    42.7,
)
OILED = (30.3, 32.5, 32.5, 32.9, 32.9, 33.8, 34.3, 34.7, 37.4, 40.5)
"""Preloads in kN of twenty and ten fasteners, all at 90 N m."""


def thread(name: str) -> Thread:
    return read_thread(name, trade())


def bears(name: str, grade: str) -> Strength:
    return strength(read_grade(grade, trade()), thread(name))


def proof(name: str, grade: str) -> float:
    return thread(name).stress_area * bears(name, grade).proof * 1e6


def tensile(name: str, grade: str) -> float:
    return thread(name).stress_area * bears(name, grade).tensile * 1e6


def _areas() -> tuple[Check, ...]:
    inch = [("1/2-13", 0.1419), ("5/8-11", 0.226), ("3/4-10", 0.334)]
    metric = [("M12x1.75", 84.3), ("M16x2", 157.0), ("M18x2.5", 192.0)]
    recalled = [
        ("3/8-16", 0.0775),
        ("7/16-14", 0.1063), ("9/16-12", 0.182), ("5/8-18", 0.256), ("7/8-9", 0.462), ("1-8", 0.606),
    ]  # fmt: skip
    by_formula = [("1/2-13", 0.14190), ("5/8-11", 0.22600), ("3/4-10", 0.33446), ("5/8-18", 0.25596)]
    fine = thread("3/4-16").stress_area / INCH**2
    return (
        *checks(AREA, "SAE J429 tables", PAGE, "in2", 0.005,
                [(f"stress area {name}", value, thread(name).stress_area / INCH**2) for name, value in inch]),
        *checks(AREA, "ASME B1.1", MEMORY, "in2", 0.005,
                [(f"stress area {name}", value, thread(name).stress_area / INCH**2) for name, value in recalled]),
        *checks(AREA, "ASME B1.1 appendix B, the formula", MEMORY, "in2", 1e-4,
                [(f"stress area {name} by its formula", value, thread(name).stress_area / INCH**2)
                 for name, value in by_formula]),
        *checks(AREA, "Shigley, 9th ed., example 8-3", PAGE, "in2", 0.005, [("stress area 3/4-16", 0.373, fine)]),
        *checks(AREA, "EN ISO 898-1", PAGE, "mm2", 0.005,
                [(f"stress area {name}", value, thread(name).stress_area * 1e6) for name, value in metric]),
        *checks(AREA, "ISO 898-1 clause 9.1.6.1, the formula", MEMORY, "mm2", 1e-5,
                [(f"stress area {name} by its formula", value, thread(name).stress_area * 1e6)
                 for name, value in (("M12x1.75", 84.267), ("M16x2", 156.668), ("M18x2.5", 192.473))]),
    )  # fmt: skip


def _inch_loads(status: str, rows: list[tuple[str, float, float]]) -> tuple[Check, ...]:
    loads = [(name, grade, load) for name, *both in rows for grade, load in zip("58", both, strict=True)]
    ours = [(f"proof load {name} grade {grade}", load, proof(name, grade) / LBF) for name, grade, load in loads]
    return checks(AREA, "SAE J429", status, "lbf", 0.005, ours)


def _metric_loads() -> tuple[Check, ...]:
    proofs = [
        ("M12x1.75", "8.8", 48_900), ("M12x1.75", "10.9", 70_000), ("M16x2", "8.8", 91_000), ("M16x2", "10.9", 130_000),
        ("M18x2.5", "8.8", 115_000), ("M18x2.5", "10.9", 159_000),
    ]  # fmt: skip
    tensiles = [
        ("M12x1.75", "8.8", 67_400), ("M12x1.75", "10.9", 87_700), ("M16x2", "8.8", 125_000),
        ("M16x2", "10.9", 163_000),
        ("M18x2.5", "8.8", 159_000), ("M18x2.5", "10.9", 200_000),
    ]  # fmt: skip
    recalled = [
        ("M10x1.5", "8.8", 33_700),
        ("M14x2", "10.9", 95_500),
        ("M20x2.5", "8.8", 147_000),
        ("M24x3", "10.9", 293_000),
    ]
    rows = [(f"proof load {name} class {grade}", load, proof(name, grade)) for name, grade, load in proofs]
    rows += [(f"tensile load {name} class {grade}", load, tensile(name, grade)) for name, grade, load in tensiles]
    more = [(f"proof load {name} class {grade}", load, proof(name, grade)) for name, grade, load in recalled]
    source = "EN ISO 898-1"
    return (*checks(AREA, source, PAGE, "N", 0.005, rows), *checks(AREA, source, MEMORY, "N", 0.006, more))


def _short_form() -> tuple[Check, ...]:
    forces = [(0.20, 21_600), (0.18, 24_000), (0.16, 27_000), (0.15, 28_800), (0.12, 36_000), (0.30, 14_400)]
    newtons = [(0.20, 96_082), (0.18, 106_757), (0.16, 120_102), (0.15, 128_109), (0.30, 64_054)]
    torques = [(0.30, 72.7), (0.25, 60.6), (0.20, 48.5), (0.15, 36.3), (0.10, 24.2)]
    book = "table of a bolting handbook"
    tenth = [
        (f"torque for 1275 lbf on 0.190 in, K {k}", value, preload.torque_for(1275 * LBF, k, 0.190 * INCH) / IN_LBF)
        for k, value in torques
    ]
    ours = [
        (f"preload of 225 lb-ft on 5/8, K {k}", value, preload.preload_of(ORDERED, k, FIVE_EIGHTHS) / LBF)
        for k, value in forces
    ]
    proofs = [
        (f"225 lb-ft on 5/8-11, K {k}, by proof load of grade 8", share,
         100 * preload.preload_of(ORDERED, k, FIVE_EIGHTHS) / proof("5/8-11", "8"))
        for k, share in ((0.20, 79.65), (0.18, 88.5), (0.16, 99.6), (0.15, 106.2), (0.12, 132.7), (0.30, 53.1))
    ]  # fmt: skip
    return (
        *checks(AREA, "T = K F D", OWN, "lbf", 1e-6, ours),
        *checks(AREA, "T = K F D", OWN, "N", 1e-5,
                [(f"preload of 225 lb-ft on 5/8, K {k}", value, preload.preload_of(ORDERED, k, FIVE_EIGHTHS))
                 for k, value in newtons]),
        *checks(AREA, "T = K F D; SAE J429", OWN, "%", 1e-3, proofs),
        *checks(AREA, book, PAGE, "lbf in", 0.005, tenth),
        *checks(AREA, book, PAGE, "N m", 0.005,
                [("torque for 34.2 kN on M12, K 0.2", 82, preload.torque_for(34_200, 0.2, 0.012))]),
    )  # fmt: skip


def _example() -> tuple[Check, ...]:
    """Example 8-3 of the book: a 3/4-16 grade 5 fastener at 25 kip."""
    size = Thread("3/4-16", 0.75 * INCH, INCH / 16, inch=True)
    arm = preload.arms(size, 0.15, 0.15, 0.625 * size.diameter).total
    book = "Shigley, 9th ed., example 8-3"
    share = preload.load_share(6.50, 13.8)
    stresses = [
        (f"stress at 25 kip under {pull} kip", value, preload.loaded(exactly(25), pull, exactly(share)).likely / 0.373)
        for pull, value in ((0, 67.02), (6, 72.17))
    ]
    short = ("torque for 25 kip, K 0.20", 3750, preload.torque_for(25_000 * LBF, 0.2, size.diameter) / IN_LBF)
    return (
        *checks(AREA, book, PAGE, "", 0.001, [("share of an outside pull", 0.320, share)]),
        *checks(AREA, book, PAGE, "kpsi", 0.0005, stresses),
        *checks(AREA, book, OWN, "in", 1e-5, [("pitch diameter of 3/4-16", 0.70941, size.pitch_diameter / INCH)]),
        *checks(AREA, book, OWN, "", 0.005,
                [("nut factor, 3/4-16 at friction 0.15, by the exact screw", 0.18939, arm / size.diameter)]),
        *checks(AREA, book, MEMORY, "lbf in", 1e-6, [short]),
        *checks(AREA, book, MEMORY, "lbf in", 0.005,
                [("torque for 25 kip, long form, friction 0.15", 3551, 25_000 * LBF * arm / IN_LBF)]),
    )  # fmt: skip


def _long_form() -> tuple[Check, ...]:
    size = thread("5/8-11")
    radius = preload.mean_radius(0.9375 * INCH, 0.656 * INCH)
    rows = [
        (0.10, 0.08698, 0.1392, 31_041, (16.6, 37.6, 45.8), 0.6673),
        (0.15, 0.12324, 0.1972, 21_909, (11.7, 39.8, 48.5), 0.7652),
        (0.20, 0.15949, 0.2552, 16_929, (9.1, 41.0, 50.0), 0.8186),
    ]
    plain, forces, shares = [], [], []
    lengths = [
        ("pitch diameter of 5/8-11", 0.56595, size.pitch_diameter / INCH),
        ("mean radius of a head of 0.9375 on a hole of 0.656", 0.39838, radius / INCH),
    ]
    for friction, long, factor, force, parts, loosening in rows:
        arms, at = preload.arms(size, friction, friction, radius), f"5/8-11 at friction {friction}"
        plain.append((f"nut factor, {at}", factor, arms.total / size.diameter))
        plain.append((f"loosening by tightening torque, {at}", loosening, arms.loosening))
        lengths.append((f"arm, {at}", long, arms.total / INCH))
        forces.append((f"preload of 225 lb-ft, {at}", force, ORDERED / arms.total / LBF))
        named = zip(("pitch", "thread", "head"), parts, arms.shares, strict=True)
        shares += [(f"share of the {part}, {at}", value, 100 * ours) for part, value, ours in named]
    between = preload.arms(size, 0.12, 0.12, radius).loosening
    plain.append(("loosening by tightening torque, 5/8-11 at friction 0.12", 0.7149, between))
    source = "long form (Motosh; Bickford)"
    return (
        *checks(AREA, source, OWN, "in", 5e-4, lengths),
        *checks(AREA, source, OWN, "", 5e-4, plain),
        *checks(AREA, source, OWN, "lbf", 5e-4, forces),
        *checks(AREA, source, OWN, "%", 5e-3, shares),
    )


def _nut_factors() -> tuple[Check, ...]:
    """The book's nut factors at friction 0.15, by the exact screw; the long form takes its lead angle as small."""
    rows = []
    for name, value in (("1/4-20", 0.2023), ("3/4-10", 0.1949)):
        size = thread(name)
        factor = preload.arms(size, 0.15, 0.15, 0.625 * size.diameter).total / size.diameter
        rows.append((f"nut factor {name} at friction 0.15", value, factor))
    return checks(AREA, "Shigley, 9th ed., nut factors of coarse threads", MEMORY, "", 0.01, rows)


def _units() -> tuple[Check, ...]:
    area = thread("5/8-11").stress_area / INCH**2
    stresses = [(f"stress of {force:g} lbf in 5/8-11", value, force / 1000 / area)
                for force, value in ((21_600, 95.6), (36_000, 159.3))]  # fmt: skip
    most = 0.75 * proof("5/8-11", "8") / LBF
    torque = ("225 lb-ft", 305.0590, convert("225", "lb-ft", "N*m"))
    return (
        *checks(AREA, "definition of the units", OWN, "N m", 1e-6, [torque]),
        *checks(AREA, "stress area", OWN, "ksi", 1e-3, stresses),
        *checks(AREA, "SAE J429", PAGE, "lbf", 1e-3, [("0.75 proof load, 5/8-11 grade 8", 20_340, most)]),
    )


def _while_tightening(status: str, rows: list[tuple[str, str, float, float, float]]) -> tuple[Check, ...]:
    """Preload (kN) and torque (N m) at 0.9 of the yield stress, friction 0.12, and a mean bearing diameter (mm)."""
    forces, torques = [], []
    for name, grade, force, torque, face in rows:
        most = preload.preload_at_yield(thread(name), bears(name, grade).yields * 1e6, 0.12, 0.9)
        arm = preload.arms(thread(name), 0.12, 0.12, face / 2000).total
        forces.append((f"preload at 0.9 yield, {name} {grade}", force, most / 1000))
        torques.append((f"torque at 0.9 yield, {name} {grade}", torque, most * arm))
    return (
        *checks(AREA, "VDI 2230", status, "kN", 0.005, forces),
        *checks(AREA, "VDI 2230", status, "N m", 0.005, torques),
    )


def _heads() -> tuple[Check, ...]:
    """Mean bearing diameters (mm) that the torques above are worked out with, of a head's face and its hole."""
    faces = (("M12", 16.6, 13.5, 15.05), ("M14", 19.6, 15.5, 17.55), ("M16", 22.5, 17.5, 20.0))
    rows = [(f"mean bearing diameter, {name}", value, 2 * preload.mean_radius(face, hole))
            for name, face, hole, value in faces]  # fmt: skip
    return checks(AREA, "VDI 2230", PAGE, "mm", 1e-9, rows)


def _scatter() -> tuple[Check, ...]:
    rows = []
    for words, data, mean, deviation, quotient in (
        ("dry", DRY, 34.3, 4.91, 0.143),
        ("oiled", OILED, 34.18, 2.88, 0.084),
    ):
        values = zip(
            ("mean", "deviation", "quotient"), (mean, deviation, quotient), preload.scatter_of(data), strict=True
        )
        rows += [(f"preloads at 90 N m, {words}, {what}", value, ours) for what, value, ours in values]
    ends = []
    for share, low, high in ((0.25, 16_200, 27_000), (0.30, 15_120, 28_080), (0.35, 14_040, 29_160)):
        band = preload.preload_band(ORDERED, 0.2, FIVE_EIGHTHS, share)
        ends.append((f"least preload of 225 lb-ft, 5/8, scatter {share}", low, band.low / LBF))
        ends.append((f"most preload of 225 lb-ft, 5/8, scatter {share}", high, band.high / LBF))
    return (
        *checks(AREA, "Shigley, 9th ed., table 8-13", MEMORY, "", 0.005, rows[:3]),
        *checks(AREA, "Shigley, 9th ed., table 8-14", PAGE, "", 0.005, rows[3:]),
        *checks(AREA, "NASA-STD-5020 by J. Fail. Anal. Prev. 2019", PAGE, "lbf", 1e-6, ends),
    )


CHECKS = (
    *_areas(),
    *_inch_loads(PAGE, [("5/8-11", 19_200, 27_100), ("3/4-10", 28_400, 40_100)]),
    *_inch_loads(MEMORY, [("1/2-13", 12_100, 17_000), ("5/8-18", 21_800, 30_700)]),
    *_metric_loads(),
    *_short_form(),
    *_example(),
    *_long_form(),
    *_nut_factors(),
    *_units(),
    *_while_tightening(PAGE, [
        ("M12x1.25", "8.8", 48.0, 90, 15.05), ("M12x1.25", "10.9", 70.5, 133, 15.05),
        ("M14x1.5", "10.9", 95.2, 209, 17.55), ("M16x1.5", "8.8", 87.6, 218, 20.0),
        ("M16x1.5", "10.9", 128.7, 320, 20.0),
    ]),
    *_while_tightening(MEMORY, [("M16x2", "10.9", 118.8, 302, 20.0)]),
    *_heads(),
    *_scatter(),
)  # fmt: skip
