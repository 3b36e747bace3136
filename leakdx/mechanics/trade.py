"""The types of the numbers of the trade that are used where none is given; the numbers are data of the knowledge."""

from typing import Annotated, Literal

import msgspec

from leakdx.marks import SET_BY_LOADER, Mark, Text
from leakdx.mechanics.band import Band

Positive = Annotated[float, msgspec.Meta(gt=0)]
Part = Annotated[float, msgspec.Meta(ge=0, le=1)]
Three = tuple[Positive, Positive, Positive]
"""A band: low, likely, high."""


class Marked(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Where an entry is from, and why a technician would accept it."""

    mark: Mark
    reason: Text


class Spread(Marked, frozen=True):
    """A band by itself."""

    band: Three

    @property
    def as_band(self) -> Band:
        """Low, likely, high."""
        return Band(*self.band)


class Share(Marked, frozen=True):
    """A plain share, 0 to 1."""

    share: Part


class Series(Marked, frozen=True):
    """Threads that are made: pitches of each size (per inch, or mm), the coarse one first."""

    inch: dict[str, tuple[Positive, ...]]
    metric: dict[str, tuple[Positive, ...]]


class Strength(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Stresses in MPa, for diameters up to ``up_to_mm``."""

    up_to_mm: Positive
    proof: Positive
    tensile: Positive
    yields: Positive


class Grade(Marked, frozen=True):
    """A grade or property class, its strengths by growing diameter; ``threads``: the one system it is made in."""

    name: str
    strengths: tuple[Strength, ...]
    threads: Literal["inch", "metric"] | None = None


class ThreadState(Marked, frozen=True):
    """How a thread turns: nut factor, and the share that preload scatters by; ``bonds``: it holds without clamp too."""

    words: str
    nut_factor: Positive
    scatter: Annotated[float, msgspec.Meta(ge=0, lt=1)]
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
    also: tuple[str, ...] = ()
    """Other names of it."""


class Plate(Marked, frozen=True):
    """What is welded."""

    volume_heat_j_per_mm3_k: Positive
    melts_c: Positive
    conductivity_w_per_m_k: Positive
    diffusivity_mm2_per_s: Positive


class Welding(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Processes and the plate."""

    processes: dict[str, Process]
    steel: Plate

    def process(self, name: str) -> Process | None:
        """The process of a name, or of one of its other names."""
        known = self.processes.get(name)
        return known or next((each for each in self.processes.values() if name in each.also), None)


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
    gpa: Positive


class Clamping(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Beds, and the metals of the two flanges."""

    beds: dict[str, Bed]
    carrier: Modulus
    housing: Modulus


class Passes(Marked, frozen=True):
    """Shares of the torque, pass by pass."""

    shares: Annotated[tuple[Part, ...], msgspec.Meta(min_length=1)]


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


class Waits(Marked, frozen=True):
    """What a sealant's label says, in usual air: open time in minutes, hours to oil and to load."""

    open_min: Positive
    fill_h: Positive
    load_h: Positive


class Curing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The square-root law's coefficient, and where it was seen to hold."""

    depth_mm_per_root_day: Spread
    usual_c: tuple[float, float]
    usual_humidity: tuple[float, float]
    waits: Waits


class Oil(Marked, frozen=True):
    """Kinematic viscosity in mm2/s at 40 and 100 degC; density in kg/m3 at 15 degC."""

    at_40: Positive
    at_100: Positive
    density_15: Positive


class ViscosityGrades(Marked, frozen=True):
    """From which viscosity at 100 degC (mm2/s) a grade counts; W: (degC, mm2/s at 100 degC at least)."""

    from_mm2_s: dict[str, Positive]
    winter: dict[str, tuple[float, float]]


class Length(Marked, frozen=True):
    """A length in the unit that the trade gives it in, so that it is compared as it is written."""

    value: Positive
    unit: Text

    @property
    def metres(self) -> float:
        """In m."""
        from leakdx.quantities import convert  # a start that works nothing out has no use for it

        return float(convert(str(self.value), self.unit, "m"))


class Flatness(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The most that a face can be out, and what gauges are good to."""

    highest: Length
    dial: Length
    feeler: Length


class TruckState(Marked, frozen=True):
    """A state of the truck that the next shift must know, in words: when it is so, when it is not, and what not to do.

    ``opening``: the state of the knowledge that says it; without one it is said at the hand-over.
    """

    on: Text
    off: Text
    never: Text
    opening: str = ""


class Trade(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """All of them. ``at`` is ``file:line:column``, set by the loader."""

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
    truck_states: dict[str, TruckState] = {}
    at: Annotated[str, SET_BY_LOADER] = ""
