"""Drawings of the joint: what they show, and that nothing in them breaks the file."""

from xml.etree import ElementTree

import pytest

from leakdx.diagrams.joint import heat_svg, level_svg, ring_svg
from leakdx.diagrams.svg import Drawing
from leakdx.mechanics.audit import Reading, State, Tightening, audit
from leakdx.mechanics.band import Band, exactly
from leakdx.mechanics.level import Joint
from leakdx.mechanics.threads import read_grade, read_thread, strength
from tests.shipped import trade

SIZE = read_thread("5/8-11", trade())
DONE = Tightening(SIZE, strength(read_grade("8", trade()), SIZE), trade().threads_state["zinc"], 305.0)
SVG = "{http://www.w3.org/2000/svg}"


def words(svg: str) -> list[str]:
    return [each.text or "" for each in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_the_ring_shows_every_fastener_and_what_each_state_looks_like() -> None:
    found = audit([305, 305, 100, 0, 250, 305], DONE, Reading(), trade())
    drawn = ring_svg(found, "a ring")
    shown = words(drawn)
    assert {"1", "2", "3", "4", "5", "6", "0%", "33%", *map(str, State)} <= set(shown)
    in_the_legend = 1
    assert drawn.count('stroke-width="9"') - in_the_legend == len(found.spans) == 3


def test_oil_stands_in_the_picture_where_it_stands_in_the_axle() -> None:
    joint = Joint(0.18, 0.12)
    assert "polygon" in level_svg(joint, 0.06, 0.07, "some")
    assert "polygon" not in level_svg(joint, -0.06, -0.05, "none")
    assert {"12", "3", "6", "9"} <= set(words(level_svg(joint, 0.06, 0.07, "some")))


def test_heat_names_the_seal_and_the_joint() -> None:
    curve = [(step / 100, Band(900 / (1 + step), 1000 / (1 + step), 1100 / (1 + step))) for step in range(11)]
    metric, inch = (
        words(heat_svg(curve, Band(220, 270, 320), exactly(0.04), "sealant", "heat", metric=metric))
        for metric in (True, False)
    )
    assert {"the joint", "sealant bears", "0", "1000", "100", "°C"} <= set(metric)
    assert {"the joint", "sealant bears", "0", "1800", "3.94", "°F"} <= set(inch)


@pytest.mark.parametrize("text", ['a < b & "c"', "</text><script>", "ring\x1b[2J\nnext"])
def test_text_stays_text(text: str) -> None:
    drawing = Drawing(100, 100, text)
    drawing.text(10, 10, text)
    root = ElementTree.fromstring(drawing.svg())
    assert {each.tag.removeprefix(SVG) for each in root.iter()} == {"svg", "title", "rect", "text"}
    assert "\x1b" not in drawing.svg()


def test_drawings_are_the_same_bytes_each_time() -> None:
    found = audit([305, 305, 100], DONE, Reading(), trade())
    assert ring_svg(found, "a") == ring_svg(found, "a")
