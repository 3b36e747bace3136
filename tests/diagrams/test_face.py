"""The face as a map."""

from xml.etree import ElementTree

from leakdx.diagrams.face import Mark, face_svg
from leakdx.mechanics.outline import oblong, ring

SVG = "{http://www.w3.org/2000/svg}"
ROUND = ring(1.0)
MARKS = [Mark(turn, 1.0, turn / 6, f"{turn:+.0f}", f"{turn:.0f}:00", turn == 3) for turn in range(6)]


def texts(svg: str) -> list[str]:
    return [each.text or "" for each in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_every_place_has_its_reading_and_its_name() -> None:
    drawn = face_svg(MARKS, ROUND, "a face", "what it shows")
    assert {"+3", "at 3:00", "+0", "at 0:00", "a face", "what it shows"} <= set(texts(drawn))
    assert drawn.count('stroke-width="4"') == 1
    assert drawn == face_svg(MARKS, ROUND, "a face", "what it shows")


def test_the_face_is_shaded_between_places_of_one_radius_only() -> None:
    assert "polygon" in face_svg(MARKS, ROUND, "a", "b")
    assert "polygon" not in face_svg([*MARKS, Mark(1, 0.8, 0.5, "+1", "1@150mm", False)], ROUND, "a", "b")


def test_of_many_places_those_that_carry_are_named() -> None:
    many = [Mark(at / 10, 1, 0.5, f"{at}", f"place {at}", at == 7) for at in range(60)]
    assert "at place 7" in texts(face_svg(many, ROUND, "a", "b"))
    assert "at place 8" not in texts(face_svg(many, ROUND, "a", "b"))


def test_an_oblong_face_is_drawn_as_it_is() -> None:
    line = oblong(1.0, 0.8)
    marks = [Mark(turn, line.reach(turn), 0.5, "0", f"{turn}", False) for turn in range(6)]
    assert "polygon" in face_svg(marks, line, "a", "b")
