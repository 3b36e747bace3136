"""Torque and preload: the short form, the long form with its three shares, and what tightening itself costs.

Short form: ``T = K F D`` (Shigley, Mechanical Engineering Design; as reproduced in a public page). Long form:
``T = F (P/2pi + mu_t r_t / cos 30 + mu_n r_n)`` (Motosh; Bickford; from memory). Stress while tightening: VDI 2230
(as reproduced in a public page). Lengths in m, forces in N, torques in N m, stresses in Pa.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from leakdx.mechanics.band import Band, about
from leakdx.mechanics.given import MeasureError, between, not_negative, positive
from leakdx.mechanics.threads import Thread

_FLANK = math.cos(math.radians(30))
_RIGHT_TORQUE = "give a torque such as 225 lb-ft"


@dataclass(frozen=True)
class Arms:
    """The three lever arms (m) by which a preload resists turning; their sum times the preload is the torque."""

    pitch: float
    thread: float
    bearing: float

    @property
    def total(self) -> float:
        """Torque for each newton of preload while tightening."""
        return self.pitch + self.thread + self.bearing

    @property
    def loosening(self) -> float:
        """Share of the tightening torque that loosens again: the pitch then helps."""
        return 1 - 2 * self.pitch / self.total

    @property
    def shares(self) -> tuple[float, float, float]:
        """Shares of the torque that stretch the fastener, rub in the thread, rub under the head."""
        return self.pitch / self.total, self.thread / self.total, self.bearing / self.total


def preload_of(torque: float, nut_factor: float, diameter: float) -> float:
    """Preload (N) that a torque gives."""
    not_negative("the torque", torque, _RIGHT_TORQUE)
    return torque / (_factor(nut_factor) * diameter)


def torque_for(preload: float, nut_factor: float, diameter: float) -> float:
    """Torque (N m) that gives a preload."""
    return _factor(nut_factor) * not_negative("the preload", preload, "give a force such as 20000 lbf") * diameter


def preload_band(torque: float, nut_factor: float, diameter: float, scatter: float) -> Band:
    """Preload (N) with its scatter at one torque."""
    return about(preload_of(positive("the torque", torque, _RIGHT_TORQUE), nut_factor, diameter), scatter)


def arms(thread: Thread, thread_friction: float, head_friction: float, head_radius: float) -> Arms:
    """The long form. ``head_radius``: mean radius of the bearing face, m (``mean_radius``)."""
    for name, friction in (("thread", thread_friction), ("head", head_friction)):
        not_negative(f"the friction of the {name}", friction, "give a friction such as 0.15")
    radius = thread.pitch_diameter / 2
    return Arms(thread.pitch / (2 * math.pi), thread_friction * radius / _FLANK, head_friction * head_radius)


def mean_radius(face: float, hole: float) -> float:
    """Mean radius of a bearing face from the diameters of face and hole, all m."""
    if not 0 < hole < face:
        raise MeasureError("the hole under the head is smaller than the face, and both are more than 0")
    return (face + hole) / 4


def usual_head_radius(thread: Thread) -> float:
    """Mean radius under a hexagon head: face 1.5 D, hole 1.05 D (common practice, no source)."""
    return mean_radius(1.5 * thread.diameter, 1.05 * thread.diameter)


def friction_for(nut_factor: float, thread: Thread, head_radius: float) -> float:
    """The one friction of thread and head that makes a nut factor; 0 where the pitch alone is more."""
    of_one = arms(thread, 1, 1, head_radius)
    return max(0.0, (nut_factor * thread.diameter - of_one.pitch) / (of_one.thread + of_one.bearing))


def preload_at_yield(thread: Thread, yields: float, friction: float, use: float = 1.0) -> float:
    """Preload (N) at which stretch and twist together reach a share of the yield stress (VDI 2230)."""
    d2, d3 = thread.pitch_diameter, thread.root_diameter
    twist = 1.5 * d2 / ((d2 + d3) / 2) * (thread.pitch / (math.pi * d2) + friction / _FLANK)
    return thread.stress_area * use * yields / math.sqrt(1 + 3 * twist**2)


def yielding_preload(thread: Thread, yields: float, torque: float, head_radius: float) -> float:
    """Preload (N) from which on this torque makes the fastener yield.

    At a given torque more preload means less friction and so less twist; the one where both agree is sought. Where the
    twist alone is enough, next to nothing is left.
    """

    def spare(preload: float) -> float:
        friction = friction_for(torque / (preload * thread.diameter), thread, head_radius)
        return preload_at_yield(thread, yields, friction) - preload

    most = thread.stress_area * yields
    return _root(spare, most * 1e-3, most)


def load_share(fastener: float, joint: float) -> float:
    """Share of an outside pull that reaches the fastener, by the stiffness (N/m) of fastener and joint.

    The rest only takes clamp from the joint (Shigley, chapter 8; as reproduced in a public page).
    """
    both = positive("the stiffness of fastener and joint", fastener + joint, "give both")
    return fastener / both


def loaded(preload: Band, pull: float, share: Band) -> Band:
    """Load (N) of a fastener under an outside pull (N), as long as the joint stays closed."""
    likely = preload.likely + share.likely * pull
    down = math.hypot(preload.likely - preload.low, (share.likely - share.low) * pull)
    up = math.hypot(preload.high - preload.likely, (share.high - share.likely) * pull)
    return Band(likely - down, likely, likely + up)


def scatter_of(values: Sequence[float]) -> tuple[float, float, float]:
    """Mean, standard deviation and their quotient, of preloads or torques at one setting."""
    if len(values) < 2:
        raise MeasureError("a scatter needs two values at least; give all readings of the ring")
    mean, deviation = fmean(values), stdev(values)
    return mean, deviation, deviation / mean if mean else math.inf


def _factor(nut_factor: float) -> float:
    return between("the nut factor", nut_factor, 0.08, 0.6, "it is near 0.2")


def _root(falls: Callable[[float], float], low: float, high: float) -> float:
    """Where a falling function passes 0, by halving."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if falls(middle) > 0 else (low, middle)
    return (low + high) / 2
