"""The ring while it is tightened, in plain characters: which fasteners are tight in this pass, and which is due."""

from collections.abc import Collection

import numpy as np

from leakdx.diagrams.canvas import Canvas
from leakdx.mechanics.outline import Outline

_STEPS = 720
LEGEND = "[n] due   n* tight in this pass   (n) dowel   seen from the pinion, 1 on top"


def order_lines(
    line: Outline,
    stands: tuple[float, ...],
    dowels: Collection[int],
    tight: Collection[int],
    due: int,
    columns: int,
    rows: int,
) -> list[str]:
    """Each fastener by its number where it stands, marked by shape: tight, at a dowel, and the one that is due."""
    canvas = Canvas(line.wide / 2, line.high / 2, columns, rows)
    canvas.dots(line.spots(np.linspace(0, line.around, _STEPS)))
    for number, point in enumerate(line.spots(np.array(stands)), 1):
        said = f"({number})" if number in dowels else str(number)
        canvas.put(point, f"[{said}]" if number == due else f"{said}*" if number in tight else said)
    return canvas.lines()
