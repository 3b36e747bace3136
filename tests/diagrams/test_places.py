"""The flange with what has a place on it, each thing by shape, hatch, letter and words."""

import math
import re
from xml.etree import ElementTree

import pytest

from leakdx.diagrams.flangemap import READ, STRETCHED, UNSURE, WEAK
from leakdx.diagrams.places import LOOSE, Dot, FaceHeights, Flange, Height, places_svg, said
from leakdx.mechanics.outline import oblong, ring
from leakdx.mechanics.places import Arc, arc_of_hours
from tests.hostile import ALL

SVG = "{http://www.w3.org/2000/svg}"
MARKS = {3: WEAK, 4: WEAK, 5: LOOSE, 6: UNSURE, 7: STRETCHED}
DOTS = tuple(Dot(math.tau * at / 8, str(at + 1), MARKS.get(at + 1, READ)) for at in range(8))
HOUSING = FaceHeights("housing", "heights in thou", (Height(0.0, "7.5", low=False), Height(math.pi, "-2.5", low=True)))
CARRIER = FaceHeights("carrier", "gaps in mm", (Height(1.0, "0.02..0.04", low=False),))
WHOLE = Flange(
    ring(0.2), True, arc_of_hours(3, 6), DOTS, (("weld", arc_of_hours(2, 2)), ("low place", arc_of_hours(8, 9))),
    (HOUSING, CARRIER),
)  # fmt: skip


def texts(drawn: str) -> list[str]:
    return [each.text or "" for each in ElementTree.fromstring(drawn).iter(f"{SVG}text")]


def test_all_that_has_a_place_is_named_with_its_place() -> None:
    words = texts(places_svg(WHOLE, "a flange"))
    assert {"a flange", "WET", "weld", "7.5", "-2.5", "0.02..0.04", "the road", "12", "9"} <= {*words}
    assert "Seen from the pinion's side: 12 on top, 6 towards the road." in words
    assert "weak: has lost clamp (X): 3, 4" in words
    assert "turns freely: loose or broken (T): 5" in words
    assert "too close to say (?): 6" in words
    assert "may be stretched (S): 7" in words
    assert "weld: 2" in words
    assert "low place: 8 to 9" in words
    assert "housing face, outer row: heights in thou; triangle: low at 6" in words
    assert "carrier face, inner row: gaps in mm" in words
    assert [words.count(mark) for mark in (WEAK, LOOSE, UNSURE, STRETCHED)] == [2, 1, 1, 1]


@pytest.mark.parametrize(
    ("flange", "long"),
    [
        (WHOLE, "wet: 3 to 6, 314 mm (12.4 in) of the line; in it fasteners 3, 4, 5"),
        (Flange(ring(1.0), wet=arc_of_hours(3, 6)), "wet: 3 to 6, 25% of the way round"),
        (Flange(oblong(0.4, 0.3), True, arc_of_hours(9, 3)), "wet: 9 to 3, 571 mm (22.5 in) of the line"),
        (Flange(ring(0.2), True, arc_of_hours(4, 4)), "wet: 4"),
    ],
)
def test_how_far_the_wet_arc_goes(flange: Flange, long: str) -> None:
    assert long in texts(places_svg(flange, "t"))


def test_a_quarter_of_a_round_line_is_wet_as_pixels_too() -> None:
    """The band stands outside the lower right quarter and nowhere else."""
    drawn = places_svg(Flange(ring(0.2), wet=arc_of_hours(3, 6)), "t")
    band = re.search(r'<polygon points="([^"]*)" fill="#dddddd"', drawn)
    assert band is not None
    right, down = zip(*(map(float, point.split(",")) for point in band[1].split()), strict=True)
    assert min(right) >= 400 - 0.1
    assert min(down) >= 290 - 0.1
    assert max(right) == pytest.approx(400 + 165 + 40, abs=0.5)


def test_what_is_not_known_is_said_and_what_is_not_drawn_is_not_in_the_legend() -> None:
    empty = texts(places_svg(Flange(ring(1.0)), "t"))
    assert any(word.startswith("No place round the joint is written down yet") for word in empty)
    assert "How many fasteners there are is not known." in empty
    assert not {"WET", "weld"} & {*empty}
    assert "Where it is wet is not written down by the clock." in texts(places_svg(Flange(ring(1.0), dots=DOTS), "t"))
    assert len([word for word in texts(places_svg(Flange(ring(1.0), dots=DOTS[:2]), "t")) if "clamp" in word]) == 0


def test_without_colour_the_same_each_time_and_as_typed() -> None:
    flange = Flange(ring(0.2), faces=(FaceHeights(ALL, ALL, (Height(1.0, ALL, low=True),)),), others=((ALL, Arc(1)),))
    for drawn in (places_svg(WHOLE, "t"), places_svg(flange, ALL)):
        colours = set(re.findall(r'(?:fill|stroke)="([^"]*)"', drawn))
        assert all(c in ("none", "white", "black") or re.fullmatch(r"#(..)\1\1", c) for c in colours)
    assert places_svg(WHOLE, "t") == places_svg(WHOLE, "t")
    odd = places_svg(flange, ALL)
    assert "<script" not in odd
    assert "<script>alert(1)</script>" in "".join(texts(odd))


def test_a_long_title_goes_on_below_and_stays_on_the_sheet() -> None:
    words = texts(places_svg(WHOLE, "mixer " * 40))
    assert max(len(word) for word in words) < 110
    assert sum(word.count("mixer") for word in words) == 40
    assert max(len(word) for word in texts(places_svg(WHOLE, "W" * 900))) <= 100


def test_many_fasteners_do_not_touch_each_other() -> None:
    dots = tuple(Dot(math.tau * at / 48, str(at + 1)) for at in range(48))
    radius = {
        float(found) for found in re.findall(r'<circle [^>]*r="([\d.]+)"', places_svg(Flange(ring(1), dots=dots), "t"))
    }
    assert min(radius) < math.pi * 165 / 48


def test_a_place_is_said_by_the_clock() -> None:
    assert (said(Arc(math.tau / 8)), said(arc_of_hours(3, 4.5))) == ("1:30", "3 to 4:30")
