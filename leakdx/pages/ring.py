"""The ring of fasteners of a case, as far as it is known: how many, in which order, and where it was wet."""

import math

from leakdx.diagrams.ring import Spot, ring_svg
from leakdx.interview.measuring.known import Known
from leakdx.mechanics.order import round_order
from leakdx.mechanics.places import Arc, read_arc
from leakdx.pages.document import Picture
from leakdx.reasoning.diagnosis import Diagnosis

_WIDE = 0.28


def wet_stretch(diagnosis: Diagnosis) -> Arc | None:
    """Where the joint was last seen wet by the clock since it was closed; None where nobody wrote it down."""
    wet = Known(diagnosis.knowledge, diagnosis.case).wet
    return read_arc(wet, ()) if wet else None


def wet_picture(diagnosis: Diagnosis, shows: str) -> Picture | None:
    """The wet stretch alone."""
    wet = wet_stretch(diagnosis)
    return None if wet is None else Picture(ring_svg((), wet, shows), shows, _WIDE)


def order_of(count: int) -> tuple[int, ...]:
    """Fastener numbers in the order of tightening; none where the count is not known or no ring has so many."""
    if not count:
        return ()
    return tuple(number for group in round_order(count) for number in group.numbers)


def spots(count: int) -> tuple[Spot, ...]:
    """The fasteners of an even ring, number 1 at 12 o'clock, each with its turn."""
    turns = {number: turn for turn, number in enumerate(order_of(count), 1)}
    return tuple(Spot(math.tau * at / count, str(at + 1), str(turns[at + 1])) for at in range(count))
