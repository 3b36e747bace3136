"""Numbers of the trade that are used where none is given: data with marks, read once (trade.yaml)."""

from functools import cache
from pathlib import Path

import msgspec
import yaml

from leakdx.mechanics.band import Band
from leakdx.quantities import convert

Three = tuple[float, float, float]


class Marked(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Where an entry is from, and why a technician would accept it."""

    mark: str
    reason: str


class Spread(Marked, frozen=True):
    """A band by itself."""

    band: Three

    @property
    def as_band(self) -> Band:
        """Low, likely, high."""
        return Band(*self.band)


class Share(Marked, frozen=True):
    """A plain share, 0 to 1."""

    share: float


class Series(Marked, frozen=True):
    """Threads that are made: pitches of each size (per inch, or mm), the coarse one first."""

    inch: dict[str, tuple[float, ...]]
    metric: dict[str, tuple[float, ...]]


class Strength(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Stresses in MPa, for diameters up to ``up_to_mm``."""

    up_to_mm: float
    proof: float
    tensile: float
    yields: float


class Grade(Marked, frozen=True):
    """A grade or property class, its strengths by growing diameter."""

    name: str
    strengths: tuple[Strength, ...]


class ThreadState(Marked, frozen=True):
    """How a thread turns: nut factor, and the share that preload scatters by; ``bonds``: it holds without clamp too."""

    words: str
    nut_factor: float
    scatter: float
    bonds: bool = False


class Auditing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a first movement reads against what was put on."""

    moving: Spread
    peak: Spread
    loosening: Spread
    wrench: Share
    holds: Share


class Faces(Marked, frozen=True):
    """Friction of the two faces of the joint."""

    words: str
    friction: Three


class Drive(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The driveline's efficiency, the tyres' grip, what of a pull reaches a fastener, and what a dowel bears (MPa)."""

    efficiency: Spread
    grip: Spread
    load_share: Spread
    dowel_shear_mpa: Spread


class Process(Marked, frozen=True):
    """A welding process and the share of the arc's heat that goes into the work."""

    words: str
    efficiency: Three


class Plate(Marked, frozen=True):
    """What is welded."""

    volume_heat_j_per_mm3_k: float
    melts_c: float
    conductivity_w_per_m_k: float
    diffusivity_mm2_per_s: float


class Welding(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Processes and the plate."""

    processes: dict[str, Process]
    steel: Plate


class Seal(Marked, frozen=True):
    """What seals the joint, and the heat in degC that harms it."""

    words: str
    bears_c: Three


class Surface(Marked, frozen=True):
    """What a drop falls on, and how deep oil stands on or in it."""

    words: str
    depth_mm: Three


class Bed(Marked, frozen=True):
    """What seals the joint, as a bed: pressure (MPa) for each mm pressed in.

    Then the pressure that keeps it tight (MPa), or the gap (mm) that it follows beyond the one it cured in.
    """

    words: str
    mpa_per_mm: Three
    tight_from_mpa: Three | None = None
    follows_mm: Three | None = None


class Modulus(Marked, frozen=True):
    """How stiff a metal is."""

    words: str
    gpa: float


class Clamping(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Beds, and the metals of the two flanges."""

    beds: dict[str, Bed]
    carrier: Modulus
    housing: Modulus


class Passes(Marked, frozen=True):
    """Shares of the torque, pass by pass."""

    shares: tuple[float, ...]


class Leaking(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Drops, stains, the oil's surface and what there is to lose."""

    drop_ml: Spread
    surfaces: dict[str, Surface]
    to_low_l: Spread
    surface_cm2: Spread
    hours_a_day: Spread


class Breathing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a lip seal bears."""

    seal_lip_kpa: Spread


class Curing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The square-root law's coefficient, and where it was seen to hold."""

    depth_mm_per_root_day: Spread
    usual_c: tuple[float, float]
    usual_humidity: tuple[float, float]


class Oil(Marked, frozen=True):
    """Kinematic viscosity in mm2/s at 40 and 100 degC; density in kg/m3 at 15 degC."""

    at_40: float
    at_100: float
    density_15: float


class ViscosityGrades(Marked, frozen=True):
    """From which viscosity at 100 degC (mm2/s) a grade counts; W: (degC, mm2/s at 100 degC at least)."""

    from_mm2_s: dict[str, float]
    winter: dict[str, tuple[float, float]]


class Length(Marked, frozen=True):
    """A length in the unit that the trade gives it in, so that it is compared as it is written."""

    value: float
    unit: str

    @property
    def metres(self) -> float:
        """In m."""
        return float(convert(str(self.value), self.unit, "m"))


class UsualFace(Marked, frozen=True):
    """How far used faces lie out of flat: the median, and the factor from it to one standard deviation."""

    words: str
    median: float
    factor: float
    unit: str


class Flatness(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The limit for a gasket, the most that a face can be out, what gauges are good to, and what is usual."""

    limit: Length
    highest: Length
    dial: Length
    feeler: Length
    faces: dict[str, UsualFace]


class Trade(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of trade.yaml."""

    threads: Series
    grades: dict[str, Grade]
    threads_state: dict[str, ThreadState]
    audit: Auditing
    faces: dict[str, Faces]
    drive: Drive
    welding: Welding
    seals: dict[str, Seal]
    clamp: Clamping
    passes: Passes
    leak: Leaking
    breather: Breathing
    cure: Curing
    oils: dict[str, Oil]
    viscosity_grades: ViscosityGrades
    flatness: Flatness


@cache
def trade() -> Trade:
    """The numbers that leakdx comes with."""
    text = (Path(__file__).parent / "trade.yaml").read_text(encoding="utf-8")
    return msgspec.convert(yaml.safe_load(text), Trade, strict=True)
