"""Pictures as PNG: the same dots each time, on the ground that was asked for, with whatever was typed in them."""

import sys
from io import BytesIO

import pytest
from PIL import Image

from leakdx.diagrams.dark import dark, grey
from leakdx.diagrams.engine import DiagramError
from leakdx.diagrams.png import png
from leakdx.diagrams.svg import Drawing
from tests.hostile import ALL


def drawn(words: str = "words", width: float = 400, height: float = 300) -> bytes:
    drawing = Drawing(width, height, words)
    drawing.circle(200, 150, 60, "#dddddd", 3)
    drawing.circle(200, 150, 20, "black")
    drawing.text(200, 40, words, 20)
    return drawing.svg().encode()


def opened(made: bytes) -> Image.Image:
    return Image.open(BytesIO(made)).convert("L")


def test_the_same_dots_on_white_as_large_as_the_picture() -> None:
    made = png(drawn())
    assert made == png(drawn())
    image = opened(made)
    assert image.size == (600, 450)  # px of 1/96 inch, 144 dots to the inch
    assert image.getpixel((2, 2)) == 255
    assert image.getpixel((300, 225)) == 0
    assert image.getpixel((300, 165)) == 0xDD


def test_words_are_drawn_in_black_on_white_and_in_white_on_black() -> None:
    box = (250, 40, 350, 64)  # where the words stand
    light, night, empty = (
        set(opened(made).crop(box).tobytes()) for made in (png(drawn()), png(dark(drawn()), grey(255)), png(drawn(" ")))
    )
    assert min(light) < 60
    assert max(light) == 255
    assert min(night) == 0x1A
    assert max(night) > 200
    assert empty == {255}


def test_a_high_narrow_picture_is_drawn_finer() -> None:
    assert opened(png(drawn(width=528, height=2000))).size[0] == 1584
    assert opened(png(drawn(width=100, height=2000))).size[0] == 450  # three times as fine and no more


def test_whatever_is_typed_is_drawn() -> None:
    plain, odd = png(drawn("a plain word")), png(drawn(ALL))
    assert odd != plain
    assert opened(odd).size == opened(plain).size
    assert png(drawn("日本")) != png(drawn("  "))


def test_what_is_no_picture_and_no_engine_are_said_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(DiagramError, match=r"the PNG could not be made \(.*\); draw to an .svg file instead"):
        png(b"<svg")
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(DiagramError, match=r"install it with 'pip install typst', or draw to an .svg file"):
        png(drawn())
