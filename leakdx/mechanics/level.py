"""Where the oil stands against the joint, on the level and at a grade.

Oil lies level, so that in a tilted axle its surface turns about the middle of the free surface (own derivation, for
tilts at which it stays in the bowl). Heights and lengths in m, tilts in radians; heights count from the lowest point
of the joint's ring.
"""

import math
from dataclasses import dataclass

from leakdx.mechanics.given import as_length, between, finite

STEEPEST = math.atan(0.6)
_RADII = 0.01, 1.5
_FAR = 2.0
"""m; no axle is larger."""


@dataclass(frozen=True)
class Joint:
    """A round joint: ``radius``, and how far ``ahead`` of the middle of the oil's surface it stands.

    Ahead is towards the pinion; a joint behind the axle has a pinion that points backwards, and turns the sign of the
    grade, not of this.
    """

    radius: float
    ahead: float

    def __post_init__(self) -> None:
        between("the joint's radius", self.radius, *_RADII, "give the radius of the ring, such as 180 mm", as_length)
        right = "give how far the joint stands before the axle's line, such as 120 mm"
        between("the distance ahead", self.ahead, 0, _FAR, right, as_length)


def slope(per_cent: float) -> float:
    """Tilt (rad) of a road of so many per cent."""
    return math.atan(between("the grade in per cent", per_cent, -60, 60, "give per cent, such as 6") / 100)


def height_at_joint(joint: Joint, level: float, tilt: float) -> float:
    """Oil above the joint's lowest point, measured square to the axle's floor; less than 0 where it stands below.

    ``level``: the same on level ground. ``tilt``: how far the pinion points down.
    """
    right = "give a height such as 60 mm above the joint's lowest point"
    between("the oil's height", level, -_FAR, _FAR, right, as_length)
    between("the tilt in rad", tilt, -STEEPEST, STEEPEST, "a truck stands no steeper than 60 per cent")
    return level + joint.ahead * math.tan(tilt)


def pressure_head(height: float, tilt: float) -> float:
    """Depth of oil (m) over the joint's lowest point, straight up."""
    return max(0.0, height) * math.cos(tilt)


def wet_half_angle(joint: Joint, height: float) -> float:
    """Half of the arc (rad) of the joint that stands in oil, from its lowest point; 0 to pi."""
    return math.acos(min(1.0, max(-1.0, 1 - height / joint.radius)))


def wet_clock(half_angle: float) -> tuple[float, float]:
    """From and to which clock position the arc stands in oil, 6 o'clock in its middle."""
    hours = math.degrees(half_angle) / 30
    return 6 - hours, 6 + hours


def check_error(distance: float, floor_tilt: float) -> float:
    """How much too high (m) a level is read at a plug so far (m) downhill from the middle of the oil's surface."""
    return finite("the distance of the plug", distance, "give a length such as 150 mm") * math.tan(floor_tilt)
