"""Published values of the joint's mechanics, each with its source and how far that was seen.

``python -m tests.published.mechanics_checks`` writes docs/mechanics_checks.md anew.
"""

from tests.published.mechanics_checks import clamp, fallen_back_on, fasteners, flatness, heat, oil, places

CHECKS = (
    *fasteners.CHECKS, *clamp.CHECKS, *flatness.CHECKS, *heat.CHECKS, *oil.CHECKS, *places.CHECKS,
    *fallen_back_on.CHECKS,
)  # fmt: skip
