"""Maps of the flange: pressure and order."""

import re
from xml.etree import ElementTree

import numpy as np

from leakdx.diagrams.flange import clamp_svg, order_svg
from leakdx.mechanics.band import Band, about
from leakdx.mechanics.order import oblong_order, round_order
from leakdx.mechanics.outline import oblong, ring
from leakdx.mechanics.tight import Flange, Seal, bending, tightness

LINE = ring(0.18)
FLANGE = Flange(LINE, LINE.even(16), 0.020, bending(0.020, (0.018, 169e9)))
GASKET = Seal(Band(60e9, 200e9, 600e9), Band(0.7e6, 1.5e6, 3e6))


def texts(svg: str) -> list[str]:
    root = ElementTree.fromstring(svg)
    return [each.text or "" for each in root.iter("{http://www.w3.org/2000/svg}text")]


def clamp(kept: list[float]) -> str:
    return clamp_svg(FLANGE, kept, GASKET, tightness(FLANGE, GASKET, about(96e3, 0.3), kept), "worst <here>", "A joint")


def test_every_fastener_has_its_number_and_the_worst_place_its_words() -> None:
    said = texts(clamp([1.0] * 16))
    assert [str(number) for number in range(1, 17)] == [each for each in said if each.isdigit()][4:]
    assert "worst <here>" in said


def test_where_it_does_not_hold_is_thick_and_black() -> None:
    sound, lost = clamp([1.0] * 16), clamp([1.0, 1.0, 0.0, 0.0, *[1.0] * 12])
    assert sound.count('stroke="black" stroke-width="7"') == 1  # of the legend
    assert lost.count('stroke="black" stroke-width="7"') == 2


def test_everything_lies_on_the_sheet() -> None:
    for svg in (clamp([1.0, 0.0, 0.0, *[1.0] * 13]), order_svg(LINE, LINE.even(60), round_order(60), "All")):
        places = [
            tuple(map(float, each.split(","))) for way in re.findall(r'points="([^"]+)"', svg) for each in way.split()
        ]
        assert all(0 < x < 800 and 0 < y < 600 for x, y in places)


def test_each_step_stands_beside_its_fastener() -> None:
    said = texts(order_svg(LINE, LINE.even(12), round_order(12, dowels=[3, 9]), "Order"))
    pairs = [(int(one), int(other)) for one, other in zip(said[1:25:2], said[2:25:2], strict=True)]
    assert [number for number, _ in sorted(pairs, key=lambda pair: pair[1])][:2] == [3, 9]
    assert sorted(step for _, step in pairs) == list(range(1, 13))
    assert "at a dowel" in said


def test_an_oblong_joint_is_drawn_as_it_is() -> None:
    line = oblong(0.4, 0.3, 0.08)
    right, up = line.points(np.array(line.even(12)))
    groups = oblong_order(list(zip(right.tolist(), up.tolist(), strict=True)))
    assert "at a dowel" not in texts(order_svg(line, line.even(12), groups, "Order"))
