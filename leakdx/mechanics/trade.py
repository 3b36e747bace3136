"""Numbers of the trade that are used where none is given: data with marks, read once (trade.yaml)."""

from functools import cache
from pathlib import Path

import msgspec
import yaml

from leakdx.mechanics.band import Band

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


class FaceLimit(Marked, frozen=True):
    """How far a mounting face may be off flat, in inches as the trade says it."""

    inch: float


class FaceFlatness(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A face's limit, and how sure a verdict must be."""

    limit: FaceLimit
    sure: Share

    @property
    def limit_m(self) -> float:
        """The limit in m."""
        return self.limit.inch * 0.0254


class Between(Marked, frozen=True):
    """What lies between the faces as a bed: its modulus in compression, and its thickness under clamp."""

    words: str
    modulus_mpa: float
    thickness_mm: float


class Passes(Marked, frozen=True):
    """Shares of the torque, pass by pass."""

    shares: tuple[float, ...]


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
    leak: Leaking
    breather: Breathing
    cure: Curing
    oils: dict[str, Oil]
    viscosity_grades: ViscosityGrades
    flatness: FaceFlatness
    beds: dict[str, Between]
    passes: Passes


@cache
def trade() -> Trade:
    """The numbers that leakdx comes with."""
    text = (Path(__file__).parent / "trade.yaml").read_text(encoding="utf-8")
    return msgspec.convert(yaml.safe_load(text), Trade, strict=True)
