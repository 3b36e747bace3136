"""Which letters typst can show: those of the fonts that it brings, and those of this machine's fonts."""

import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

_SIZE = 16

_OF_THE_ENGINE = re.compile(
    "[\\s\u0000-\u036f\u0370-\u04ff\u0531-\u058f\u05d0-\u05ea\u0621-\u063a\u0640-\u0652\u0660-\u066d\u1e00-\u2027"
    "\u202f-\u205e\u2070-\u20a0\u20a6-\u20bf\u2100-\u211e\u2190-\u23ff\u2500-\u2606\u2609-\u262f\u2713\u2717]"
)
"""Latin, Greek, Cyrillic, Armenian, Hebrew, Arabic, signs and arrows: tried with the fonts that come with typst."""


def needs_other_fonts(text: str) -> bool:
    """Whether the text holds letters that the engine's own fonts lack."""
    return _OF_THE_ENGINE.sub("", text) != ""


def not_drawn(text: str) -> str:
    """Letters of the text, each once, that neither the engine's fonts nor any font of this machine has."""
    rare = "".join(dict.fromkeys(_OF_THE_ENGINE.sub("", text)))
    for has in _fonts_here() if rare else ():
        rare = "".join(letter for letter in rare if not has(letter))
        if not rare:
            break
    return rare


def _fonts_here() -> Iterator[Callable[[str], bool]]:
    """For each font file of this machine whether it has a letter."""
    import typst
    from PIL import ImageFont

    for font in typst.Fonts(include_system_fonts=True, include_embedded_fonts=False).fonts():
        if font.path is not None:
            with suppress(OSError):  # a font that cannot be opened draws nothing
                yield partial(_has, ImageFont.truetype(font.path, _SIZE, font.index))


def _has(font: "FreeTypeFont", letter: str) -> bool:
    """Whether the font draws the letter otherwise than what no font has."""
    missing, drawn = font.getmask("\uffff"), font.getmask(letter)
    return (drawn.size, bytes(drawn)) != (missing.size, bytes(missing))
