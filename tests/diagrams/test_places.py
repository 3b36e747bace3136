"""The ring with what has a place on it."""

import math
from xml.etree import ElementTree

from leakdx.diagrams.places import Dot, places_svg
from leakdx.mechanics.places import Arc

SVG = "{http://www.w3.org/2000/svg}"
DOTS = [Dot(math.tau * at / 8, str(at + 1), at in (2, 3)) for at in range(8)]
OTHERS = [("weld", Arc(1.5)), ("low place", Arc(3, 0.5))]


def test_all_that_has_a_place_is_named() -> None:
    drawn = places_svg(Arc(1.4, 0.6), DOTS, OTHERS, "wet")
    texts = {each.text for each in ElementTree.fromstring(drawn).iter(f"{SVG}text")}
    assert {"1", "8", "wet", "weld: 2:50", "low place: 5:45 to 6:40", "12", "9"} <= texts
    assert drawn.count('r="12.0" fill="black"') == 2
    assert drawn == places_svg(Arc(1.4, 0.6), DOTS, OTHERS, "wet")


def test_without_fasteners_there_is_the_ring_alone() -> None:
    drawn = places_svg(Arc(1.4, 0.6), [], OTHERS[:1], "wet")
    assert drawn.count("<circle") == 1
