"""The few characters that are not letters: as drawn, or in ASCII where the terminal has no others."""

import locale
import os
import sys
from typing import ClassVar

from textual.scrollbar import ScrollBarRender

ASCII = "LEAKDX_ASCII"
"""Set to 1: plain characters only; to 0: all of them."""


def plain_marks() -> bool:
    """Whether only ASCII is to be shown: said so, or the terminal's encoding has no more."""
    said = os.environ.get(ASCII, "")
    if said:
        return said != "0"
    encoding = getattr(sys.__stdout__, "encoding", None) or locale.getpreferredencoding(False)
    return "utf" not in encoding.casefold()


class PlainBars(ScrollBarRender):
    """Scroll bars of whole cells, told by their ground alone."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "] * 8
    HORIZONTAL_BARS: ClassVar[list[str]] = [" "] * 8


def bar(share: float, width: int, *, plain: bool) -> str:
    """A bar as long as ``share`` (0..1) of ``width`` cells; what is not nothing has at least one."""
    filled = max(round(share * width), 1 if share >= 0.005 else 0)
    return ("#" if plain else "█") * filled + ("." if plain else " ") * (width - filled)
