"""A torque audit: what the first movement of each fastener says about the clamp that is left.

A fastener is turned on until it just moves (or broken loose), and the torque at which it moves is read. Compared
with the torque that was ordered, the fastener's own friction falls out of the account; what is left uncertain is how
the reading was taken. No recognised test standard says how (common practice, no source), so the bands are data.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby, pairwise, product

from leakdx.mechanics.band import Band, about
from leakdx.mechanics.given import MeasureError, not_negative, positive
from leakdx.mechanics.preload import (
    friction_for,
    preload_at_yield,
    preload_band,
    torque_for,
    usual_head_radius,
    yielding_preload,
)
from leakdx.mechanics.threads import Thread
from leakdx.mechanics.trade import Strength, ThreadState, Trade

SURE = 0.9
"""From which chance on a fastener is said to have lost its clamp, or to hold."""

_SETTLED = 1e-4
"""A fastener whose chance is nearer to 0 or 1 is not in doubt."""
_MOST_DOUBTFUL = 10

_TRACE = 1e-3
"""Share of a reading that is left at least, where all of it may be the adhesive's."""


class State(StrEnum):
    """What is said of one fastener."""

    TURNS = "turns freely"
    LOST = "has lost clamp"
    UNSURE = "too close to say"
    HOLDS = "holds"
    STRETCHED = "may be stretched"


class Pattern(StrEnum):
    """How the fasteners that lost clamp stand: none, one, here and there, mostly side by side, more than half."""

    EVEN = "even"
    ONE = "one"
    SCATTERED = "scattered"
    NEIGHBOURS = "neighbours"
    ALL = "all"


@dataclass(frozen=True)
class Tightening:
    """How the ring was tightened: ``torque`` ordered, N m."""

    thread: Thread
    strength: Strength
    turning: ThreadState
    torque: float

    @property
    def preload(self) -> Band:
        """Preload of one fastener right after tightening, N."""
        return preload_band(self.torque, self.turning.nut_factor, self.thread.diameter, self.turning.scatter)

    @property
    def proof_load(self) -> float:
        """N."""
        return self.thread.stress_area * self.strength.proof * 1e6

    @property
    def tensile_load(self) -> float:
        """N."""
        return self.thread.stress_area * self.strength.tensile * 1e6

    @property
    def chance_of_yield(self) -> float:
        """That one fastener yields while it is tightened, by stretch and twist together."""
        limit = yielding_preload(self.thread, self.strength.yields * 1e6, self.torque, usual_head_radius(self.thread))
        return self.preload.chance_above(limit)

    @property
    def loosening_share(self) -> float:
        """Share of the tightening torque at which it comes loose again."""
        pitch = self.thread.pitch / (2 * math.pi)
        return 1 - 2 * pitch / (self.turning.nut_factor * self.thread.diameter)


@dataclass(frozen=True)
class Reading:
    """How the readings were taken. ``bond``: torque (N m) that thread adhesive may hold, 0 where there is none."""

    way: str = "moving"
    bond: float = 0.0


@dataclass(frozen=True)
class Fastener:
    """One fastener of the audit; ``kept`` is the share of the ordered clamp, None where it turns freely."""

    number: int
    torque: float
    kept: Band | None
    preload: Band | None
    chance_lost: float
    state: State


@dataclass(frozen=True)
class Span:
    """The stretch of joint between two fasteners, and the share of its clamp that is left."""

    first: int
    second: int
    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class Audit:
    """Fasteners in order, runs of weak ones side by side (the ring closes), and the stretches beside them."""

    fasteners: tuple[Fastener, ...]
    runs: tuple[tuple[int, ...], ...]
    spans: tuple[Span, ...]

    @property
    def weak(self) -> tuple[int, ...]:
        """Numbers of those that have lost clamp or turn freely."""
        return tuple(each.number for each in self.fasteners if each.state in (State.LOST, State.TURNS))


def audit(torques: Sequence[float], done: Tightening, reading: Reading, trade: Trade) -> Audit:
    """What first-movement readings (N m, in order round the ring) say. MeasureError: too few, negative, absurd."""
    if len(torques) < 3:
        raise MeasureError("an audit needs the readings of the whole ring, in order; give one for each fastener")
    positive("the ordered torque", done.torque, "give a torque such as 225 lb-ft")
    fasteners = tuple(fastener(number, torque, done, reading, trade) for number, torque in enumerate(torques, 1))
    weak = [each.state in (State.LOST, State.TURNS) for each in fasteners]
    return Audit(fasteners, tuple(_runs(weak)), tuple(_spans(fasteners, weak)))


def pattern_of(lost: Sequence[bool]) -> Pattern:
    """How the fasteners that lost clamp stand on a ring of them."""
    count = sum(lost)
    if count <= 1:
        return Pattern.ONE if count else Pattern.EVEN
    if count > len(lost) / 2:
        return Pattern.ALL
    longest = max(map(len, _runs(lost)))
    return Pattern.NEIGHBOURS if longest > 1 and longest > count / 2 else Pattern.SCATTERED


def pattern_chances(found: Audit) -> dict[Pattern, float]:
    """The chance of each pattern by the readings alone, each fastener being judged by itself.

    Every way is counted in which those that are in doubt may stand; of many only the most doubtful are so.
    """
    chances = [each.chance_lost for each in found.fasteners]
    ranked = sorted(range(len(chances)), key=lambda at: abs(chances[at] - 0.5))
    doubtful = [at for at in ranked[:_MOST_DOUBTFUL] if _SETTLED < chances[at] < 1 - _SETTLED]
    settled = [chance >= 0.5 for chance in chances]
    total = dict.fromkeys(Pattern, 0.0)
    for way in product((False, True), repeat=len(doubtful)):
        for at, lost in zip(doubtful, way, strict=True):
            settled[at] = lost
        total[pattern_of(settled)] += math.prod(
            chances[at] if lost else 1 - chances[at] for at, lost in zip(doubtful, way, strict=True)
        )
    return total


def fastener(number: int, torque: float, done: Tightening, reading: Reading, trade: Trade) -> Fastener:
    """What the first movement (N m) of one fastener says. MeasureError: negative, absurd."""
    not_negative(f"the torque of fastener {number}", torque, "write 0 for one that turns freely")
    if torque == 0:
        return Fastener(number, torque, None, None, 1.0, State.TURNS)
    breaks = done.tensile_load * done.turning.nut_factor * done.thread.diameter
    if torque > 2 * breaks:
        raise MeasureError(
            f"fastener {number} reads {torque / breaks:.3g} times what would break it; look at the reading and its unit"
        )
    kept = _kept(torque, done, reading, trade)
    lost = 1 - kept.chance_above(trade.audit.holds.share)
    stretched = kept.times(done.torque).chance_above(_yield_torque(done)) >= 0.5
    state = State.STRETCHED if stretched else _state(lost)
    return Fastener(number, torque, kept, kept.times(done.preload), lost, state)


def _kept(torque: float, done: Tightening, reading: Reading, trade: Trade) -> Band:
    """Share of the ordered clamp that a reading stands for."""
    ways = {"moving": trade.audit.moving, "peak": trade.audit.peak, "loosening": trade.audit.loosening}
    if reading.way not in ways:
        raise MeasureError(f"there is no way of reading '{reading.way}'; known are {', '.join(ways)}")
    full = done.torque * (done.loosening_share if reading.way == "loosening" else 1)
    bond = not_negative("the torque of the adhesive", reading.bond, "give a torque such as 30 lb-ft")
    left = Band(max(torque - bond, torque * _TRACE), max(torque - bond / 2, torque * _TRACE), torque)
    return left.times(about(1, trade.audit.wrench.share)).over(ways[reading.way].as_band).over(full)


def _yield_torque(done: Tightening) -> float:
    """Torque (N m) at which the fastener yields, at the friction that its nut factor stands for."""
    factor, thread = done.turning.nut_factor, done.thread
    friction = friction_for(factor, thread, usual_head_radius(thread))
    return torque_for(preload_at_yield(thread, done.strength.yields * 1e6, friction), factor, thread.diameter)


def _state(chance_lost: float) -> State:
    if chance_lost >= SURE:
        return State.LOST
    return State.HOLDS if chance_lost <= 1 - SURE else State.UNSURE


def _runs(weak: Sequence[bool]) -> Iterator[tuple[int, ...]]:
    """Numbers of weak fasteners side by side, round the ring from the first sound one."""
    count = len(weak)
    if all(weak):
        yield tuple(range(1, count + 1))
        return
    start = weak.index(False)
    around = [(start + step) % count for step in range(count)]
    for is_weak, places in groupby(around, key=weak.__getitem__):
        if is_weak:
            yield tuple(place + 1 for place in places)


def _spans(fasteners: Sequence[Fastener], weak: Sequence[bool]) -> Iterator[Span]:
    """Stretches with a weak fastener at an end: half of each end's clamp, spreads added as squares."""
    for (one, one_weak), (two, two_weak) in pairwise([*zip(fasteners, weak, strict=True), (fasteners[0], weak[0])]):
        if one_weak or two_weak:
            ends = [each.kept for each in (one, two) if each.kept]
            likely = sum(end.likely for end in ends) / 2
            down = sum((end.likely - end.low) ** 2 for end in ends) ** 0.5 / 2
            up = sum((end.high - end.likely) ** 2 for end in ends) ** 0.5 / 2
            yield Span(one.number, two.number, likely - down, likely, likely + up)
