"""How wide the tables become when every sign has been answered, against what an exact answer may need.

Normal answers tie nothing together, and no truck has every fault at once. So every sign is answered as two causes
would have it that leak together: abnormal where one of them shows it at times or oftener. The widest pair counts.
"""

from collections.abc import Iterator
from itertools import combinations

from msgspec import Struct

from leakdx.errors import TooWideError
from leakdx.knowledge.faults import Fault
from leakdx.knowledge.hints import Hint, hint
from leakdx.knowledge.model import Cause, Knowledge, Sign
from leakdx.reasoning.compiled import Model
from leakdx.reasoning.evidence import Evidence, SignEvidence
from leakdx.reasoning.factors import CELL_LIMIT
from leakdx.reasoning.network import Network

SHOWN = 0.35
"""Chance ("at times") from which on a sign counts as shown."""


class Width(Struct, frozen=True):
    """The widest pair of causes, the cells of the largest clique, and of all together."""

    causes: tuple[str, ...]
    largest: int
    cells: int


def width(model: Model) -> Width:
    """The widest that every sign answered comes to; ``CELL_LIMIT`` stands for whatever would be refused."""
    causes = model.knowledge.causes
    widest = Width((), 0, 0)
    for pair in combinations(causes, min(2, len(causes))):
        widest = max(widest, _width(model, pair), key=lambda width: width.cells)
        if widest.cells >= CELL_LIMIT:
            break
    return widest


def _width(model: Model, pair: tuple[str, ...]) -> Width:
    signs = tuple(_answered(model.knowledge, number, id, pair) for number, id in enumerate(model.knowledge.signs, 1))
    try:
        network = Network(model, Evidence(model.complaint, signs=signs), many=True)
    except TooWideError:
        return Width(pair, CELL_LIMIT, CELL_LIMIT)
    return Width(pair, network.largest, network.cells)


def _answered(knowledge: Knowledge, entry: int, id: str, pair: tuple[str, ...]) -> SignEvidence:
    sign = knowledge.signs[id]
    shown = any(_shows(knowledge, knowledge.causes[cause], id, sign) for cause in pair)
    answer = sign.outcomes[-1 if shown else 0]
    return SignEvidence(entry, id, 0, tuple(float(outcome == answer) for outcome in sign.outcomes))


def _shows(knowledge: Knowledge, cause: Cause, id: str, sign: Sign) -> bool:
    """Whether the cause brings the sign about at times or oftener; a place sign by its zones and their paths."""
    zones = {cause.zone, *(zone for zone, word in cause.also_zones.items() if knowledge.link(word) >= SHOWN)}
    if not sign.place:
        words = [cause.shows[id]] if id in cause.shows else list(cause.looks.get(id, {}).values())
        return any(knowledge.link(word) >= SHOWN for word in words)
    if sign.place[0] != "wet":
        return sign.place[1] in zones
    return any(zone == sign.place[1] or sign.place[1] in knowledge.zones[zone].paths for zone in zones)


def too_wide(model: Model, bound: int = CELL_LIMIT) -> Iterator[Fault]:
    """A knowledge whose trucks may become too wide to answer exactly."""
    found = width(model)
    if found.cells >= bound:
        pair = " and ".join(f"'{cause}'" for cause in found.causes)
        wrong = f"with every sign answered as {pair} show it the tables need {bound:,} cells or more, which is refused"
        right = "let fewer causes share a sign, or fewer zones a cause"
        yield hint(model.knowledge.words.at, Hint.TOO_WIDE, wrong, right)
