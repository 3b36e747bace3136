"""Whether the wet place stands with weak fasteners or with a weld, as far as that is typed."""

from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.measured.fields import needed_as, text, typed_as, words
from leakdx.measured.joint import Joint
from leakdx.measured.typed import count
from leakdx.mechanics.colocation import READ_TO, apart, chance_so_near, near
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.places import Arc, index, read_arc


def numbers(typed: str) -> tuple[int, ...]:
    """Reads whole numbers with blanks between."""
    return tuple(map(count, words(typed)))


@dataclass(frozen=True, kw_only=True)
class PlaceRead(Joint):
    """Where it is wet, and what that is held against: numbers of weak fasteners, the place of a weld."""

    wet: str = needed_as(text, "3:30..5")
    weak: Sequence[int] | None = typed_as(numbers)
    weld: str | None = typed_as(text)


@dataclass(frozen=True)
class Stands:
    """``together``: some of it stands in the wet place; ``chance``: that it comes so near by itself."""

    together: bool
    chance: float


def weak_stand(read: PlaceRead) -> Stands:
    """The weak fasteners against the wet place. MeasureError where they are not on the joint."""
    ring = read.turns(read.outline(usual=1.0))
    if not ring or not read.weak:
        raise MeasureError("weak fasteners need the count of all; give --count and --weak, as 16 and 5 6 7")
    found = near(ring, [index(number, ring) for number in read.weak], wide(read_arc(read.wet, ring)))
    return Stands(found.inside > 0, found.chance)


def weld_stands(read: PlaceRead) -> Stands:
    """The weld against the wet place."""
    if read.weld is None:
        raise MeasureError("say where was welded; give --weld, as 4")
    ring = read.turns(read.outline(usual=1.0))
    wet, weld = (wide(read_arc(place, ring)) for place in (read.wet, read.weld))
    return Stands(apart(wet, weld) == 0, chance_so_near(wet, weld))


def wide(arc: Arc) -> Arc:
    """A place as wide as nobody reads it finer."""
    return arc.at_least(READ_TO)
