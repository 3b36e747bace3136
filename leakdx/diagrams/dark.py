"""A picture for a dark page: every picture here is drawn in greys, and each grey is turned over."""

import re

GROUND, INK = 0x1A, 0xF2
"""What white and black become."""
_NAMED = {"white": 0xFF, "black": 0x00}
_GREY = re.compile(r'\b(fill|stroke)="(white|black|#([0-9a-f]{2})\3\3)"')
_ROOT = re.compile(r"<svg\b")


def dark(svg: bytes) -> bytes:
    """The same picture on a dark ground. Quotes in text are escaped in SVG, so that only attributes are changed."""
    turned = _GREY.sub(_turned, svg.decode("utf-8"))
    # Text without a colour of its own is black; what is said at the root holds for it.
    return _ROOT.sub(f'<svg fill="{grey(0x00)}"', turned, count=1).encode("utf-8")


def grey(level: int) -> str:
    """What a grey (0 black to 255 white) becomes on a dark page, as #rrggbb."""
    made = round(INK + (GROUND - INK) * level / 0xFF)
    return f"#{made:02x}{made:02x}{made:02x}"


def _turned(found: re.Match[str]) -> str:
    name, colour = found[1], found[2]
    return f'{name}="{grey(_NAMED[colour] if colour in _NAMED else int(found[3], 16))}"'
