"""A picture for a dark page: the same one with its greys turned over, and no word of it touched."""

import re
from xml.etree import ElementTree

from leakdx.diagrams.dark import dark, grey
from leakdx.diagrams.reasoning import reasoning_svg
from leakdx.diagrams.svg import Drawing
from tests.diagrams.test_reasoning import texts
from tests.shipped import parts

COLOURS = re.compile(r'(?:fill|stroke)="([^"]*)"')


def test_every_grey_is_turned_over_and_text_is_light() -> None:
    light = reasoning_svg(*parts("03"))
    night = dark(light)
    assert texts(night) == texts(light)
    before, after = (COLOURS.findall(made.decode()) for made in (light, night))
    assert after[0] == grey(0)  # at the root, for words that say no colour of their own
    turned = {"white": grey(255), "black": grey(0), "none": "none", "transparent": "transparent"}
    assert after[1:] == [turned.get(c) or grey(int(c[1:3], 16)) for c in before]
    assert ElementTree.fromstring(night).get("fill") == grey(0)


def test_steps_of_grey_stay_apart_and_in_order() -> None:
    greys = [int(grey(level)[1:3], 16) for level in range(0, 256, 0x11)]
    assert greys == sorted(set(greys), reverse=True)


def test_a_colour_that_somebody_types_is_no_colour_of_the_picture() -> None:
    drawing = Drawing(100, 100, 'fill="white"')
    drawing.text(10, 10, 'stroke="black" fill="#dddddd"')
    assert texts(dark(drawing.svg().encode())) == 'stroke="black" fill="#dddddd"'
