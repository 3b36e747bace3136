"""What is lost while somebody watches: drops that fall, or a stain that grows."""

from dataclasses import dataclass

from leakdx.measured.fields import text, typed_as
from leakdx.measured.typed import count, number_in
from leakdx.mechanics import leak
from leakdx.mechanics.band import Band
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.leak import ML, Wetness
from leakdx.mechanics.trade import Leaking


@dataclass(frozen=True, kw_only=True)
class DripsRead:
    """Drops counted or the growth of a stain (m^2) in a ``time`` (s), the truck standing."""

    drops: int | None = typed_as(count)
    stain: float | None = typed_as(number_in("m^2", "200cm^2"))
    on: str = typed_as(text, "floor")
    time: float | None = typed_as(number_in("s", "10min"))


def standing_rate(read: DripsRead, numbers: Leaking) -> Band:
    """The rate, m^3/s. MeasureError where it cannot be worked out."""
    time = _time(read)
    if read.drops is not None:
        return leak.from_drops(read.drops, time, numbers.drop_ml.as_band.times(ML))
    if read.stain is None:
        raise MeasureError("give --drops that were counted, or the growth of a --stain")
    surface = numbers.surfaces.get(read.on)
    if surface is None:
        raise MeasureError(f"there is no surface '{read.on[:40]}'; known are {', '.join(numbers.surfaces)}")
    return leak.from_stain(read.stain, time, Band(*surface.depth_mm).times(1e-3))


def wetness(read: DripsRead) -> Wetness:
    """By drops where they were counted; oil that lies on the floor has fallen."""
    return leak.wetness(read.drops / _time(read)) if read.drops is not None else Wetness.FALLS


def _time(read: DripsRead) -> float:
    if read.time is None:
        raise MeasureError("a rate needs how long it took; give the time, such as 10min")
    return read.time
