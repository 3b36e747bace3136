"""From a picture as SVG to one as PNG, by typst, which draws with the fonts that it brings."""

import re

from leakdx.diagrams.engine import DiagramError
from leakdx.letters import needs_other_fonts

DOTS_PER_INCH = 144.0
"""A picture as wide as a page (11 inches) comes out 1584 dots wide: sharp on paper and on a fine screen."""
_PAGE, _CLOSEST = 11 * 72.0, 3.0
"""A page's width in points; a high and narrow picture is drawn up to so many times as fine, to come as wide."""
_PIXEL = 0.75
"""Points."""
_SIZE = re.compile(r'<svg\b[^>]*?\bwidth="([\d.]+)(pt|)"\s+height="([\d.]+)')
_SHEET = b"""
#set page(width: auto, height: auto, margin: 0pt, fill: rgb(sys.inputs.ground))
#image(bytes(sys.inputs.svg), format: "svg")
"""


def png(svg: bytes, ground: str = "#ffffff") -> bytes:
    """The picture as PNG, the same bytes for the same picture. ``ground``: the colour (#rrggbb) under it.

    Raises DiagramError where typst is missing or cannot draw it.
    """
    try:
        import typst
    except ImportError as error:
        raise DiagramError(
            "there is no engine that makes PNGs; install it with 'pip install typst', or draw to an .svg file"
        ) from error
    text = svg.decode("utf-8")
    try:
        made = typst.compile(
            _SHEET,
            sys_inputs={"svg": text, "ground": ground},
            format="png",
            ppi=DOTS_PER_INCH * _finer(text),
            ignore_system_fonts=not needs_other_fonts(text),
        )
    except typst.TypstError as error:
        said = str(error).splitlines()[0][:200]
        raise DiagramError(f"the PNG could not be made ({said}); draw to an .svg file instead") from error
    if not isinstance(made, bytes):
        raise DiagramError("the PNG could not be made on one page; draw to an .svg file instead")
    return made


def _finer(svg: str) -> float:
    """How much finer than usual: what is high was made narrow to fit on a page, and its letters small."""
    found = _SIZE.search(svg)
    if found is None or float(found[3]) <= float(found[1]):
        return 1.0
    width = float(found[1]) * (1 if found[2] else _PIXEL)
    return min(_CLOSEST, max(1.0, _PAGE / width))
