"""Numbers of the trade that calculations fall back on, beside the tables they come from."""

from tests.published.mechanics_checks.check import MEMORY, PAGE, Check, checks
from tests.shipped import trade

AREA = "Numbers that are fallen back on"
KSI = 6.894757293168


def _strengths() -> tuple[Check, ...]:
    inch = [(f"proof stress of grade {name}", value, trade().grades[name].strengths[0].proof / KSI)
            for name, value in (("2", 55), ("5", 85), ("8", 120))]  # fmt: skip
    inch.append(("tensile stress of grade 8", 150, trade().grades["8"].strengths[0].tensile / KSI))
    metric = [
        (f"proof stress of class {name} {where}".rstrip(), value, trade().grades[name].strengths[step].proof)
        for name, step, where, value in (("8.8", 0, "to 16 mm", 580), ("8.8", 1, "above", 600), ("10.9", 0, "", 830))
    ]
    yields = [
        (f"yield stress of class {name} {where}".rstrip(), value, trade().grades[name].strengths[step].yields)
        for name, step, where, value in (("8.8", 0, "to 16 mm", 640), ("8.8", 1, "above", 660), ("10.9", 0, "", 940))
    ]
    return (
        *checks(AREA, "SAE J429", PAGE, "ksi", 1e-3, inch),
        *checks(AREA, "EN ISO 898-1", PAGE, "MPa", 1e-9, metric),
        *checks(AREA, "VDI 2230", PAGE, "MPa", 1e-9, yields),
    )


def _threads() -> tuple[Check, ...]:
    states = trade().threads_state
    factors = [(f"nut factor, {states[name].words}", value, states[name].nut_factor)
               for name, value in (("plain", 0.30), ("zinc", 0.20), ("oiled", 0.18), ("anti_seize", 0.12))]  # fmt: skip
    scatters = [(f"scatter of the preload, {states[name].words}", value, states[name].scatter)
                for name, value in (("plain", 0.35), ("zinc", 0.35), ("oiled", 0.25))]  # fmt: skip
    return (
        *checks(AREA, "Shigley, 9th ed., table 8-15", PAGE, "", 1e-9, factors),
        *checks(AREA, "NASA-STD-5020 by J. Fail. Anal. Prev. 2019", PAGE, "", 1e-9, scatters),
        *checks(AREA, "a bolting glossary, torque wrench", PAGE, "", 1e-9,
                [(f"scatter of the preload, {states['adhesive'].words}", 0.30, states["adhesive"].scatter)]),
    )  # fmt: skip


def _welding() -> tuple[Check, ...]:
    """The plate of the example, and how many of the published efficiencies our bands hold."""
    steel, processes = trade().welding.steel, trade().welding.processes
    counts = []
    for name, published in (("smaw", (0.8, 0.84)), ("gmaw", (0.8, 0.84)), ("saw", (1.0,)),
                            ("gtaw", (0.60, 0.67, 0.73, 0.78, 0.82))):  # fmt: skip
        low, _, high = processes[name].efficiency
        within = sum(low <= each <= high for each in published)
        figures = ", ".join(f"{each:g}" for each in published)
        counts.append((f"arc efficiency, {processes[name].words} ({figures}), held by our band",
                       float(len(published)), float(within)))  # fmt: skip
    example = "welding handbook, example of the peak temperature equation"
    return (
        *checks(AREA, "EN 1011-1; DuPont and Marder 1995; a review of 2012", PAGE, "", 0, counts),
        *checks(AREA, example, PAGE, "J/mm3 K", 1e-9, [("heat in the plate", 0.0044, steel.volume_heat_j_per_mm3_k)]),
        *checks(AREA, example, PAGE, "degC", 1e-9, [("the plate melts at", 1510, steel.melts_c)]),
    )


def _oils() -> tuple[Check, ...]:
    grades = trade().viscosity_grades
    starts = {"65": 3.8, "70": 5.0, "75": 6.5, "80": 8.5, "85": 11.0, "90": 13.5, "110": 18.5, "140": 24.0, "190": 32.5,
              "250": 41.0}  # fmt: skip
    winter = {"70W": (-55, 3.8), "75W": (-40, 3.8), "80W": (-26, 8.5), "85W": (-12, 11.0)}
    standard = "SAE J306, February 2019"
    thick = [(f"grade {name} begins at 100 degC at", value, grades.from_mm2_s[name]) for name, value in starts.items()]
    thick += [(f"grade {name} has at 100 degC at least", least, grades.winter[name][1])
              for name, (_, least) in winter.items()]  # fmt: skip
    cold = [(f"grade {name} flows down to", value, grades.winter[name][0]) for name, (value, _) in winter.items()]
    return (
        *checks(AREA, standard, PAGE, "mm2/s", 1e-9, thick),
        *checks(AREA, standard, PAGE, "degC", 1e-9, cold),
    )


def _others() -> tuple[Check, ...]:
    passes, drop, cure = trade().passes, trade().leak.drop_ml.band, trade().cure.depth_mm_per_root_day.band
    named = zip(("first", "second", "last"), (0.3, 0.7, 1.0), passes.shares, strict=True)
    drops = [
        ("drops to the millilitre, water", 20, 1 / drop[2]),
        ("drops to the millilitre, most of oil", 45, 1 / drop[0]),
    ]
    silicone = zip(("slow", "usual", "fast"), (2, 3, 4), cure, strict=True)
    return (
        *checks(AREA, "steps of 30, 70 and 100 per cent; ASME PCC-1, legacy", MEMORY, "", 1e-9,
                [(f"{name} pass, share of the torque", value, ours) for name, value, ours in named]),
        *checks(AREA, "USP dropper; Tate's law for oil beside water", PAGE, "", 2e-3, drops),
        *checks(AREA, "typical one-part silicone, 23 degC and 50 %", MEMORY, "mm in the first day", 1e-9,
                [(f"{name} cure", value, ours) for name, value, ours in silicone]),
    )  # fmt: skip


CHECKS = (*_strengths(), *_threads(), *_welding(), *_oils(), *_others())
