"""The ring while it is tightened, on the map of the flange: which fasteners are tight in this pass, which is due."""

from collections.abc import Collection, Sequence

from leakdx.diagrams.flangemap import FlangeMap, Spot, flange_map
from leakdx.mechanics.outline import Outline

LEGEND = "[n] due   n* tight in this pass   (n) dowel   seen from the pinion, 1 on top"


def order_map(
    line: Outline,
    turns: Sequence[float],
    dowels: Collection[int],
    tight: Collection[int],
    due: int,
    columns: int,
    rows: int,
) -> FlangeMap:
    """Each fastener by its number at its turn (rad clockwise from 12), marked by shape: tight, dowel, due.

    The names of the spots are the numbers.
    """
    spots = []
    for number, turn in enumerate(turns, 1):
        said = f"({number})" if number in dowels else str(number)
        shown = f"[{said}]" if number == due else f"{said}*" if number in tight else said
        spots.append(Spot(str(number), turn, shown))
    return flange_map(line, spots, (), columns, rows)
