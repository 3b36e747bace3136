"""The ring of an axle as it is tightened: in which order, to what torque pass by pass, and how far it is."""

import re
from collections.abc import Mapping

from msgspec import Struct

from leakdx.case import Case, Measurement, Record
from leakdx.explain.numbers import number
from leakdx.knowledge.model import AxleValue, Knowledge
from leakdx.measured.axle import COUNT, RADIUS, TORQUE
from leakdx.measured.joint import Joint
from leakdx.measured.typed import number_in
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.order import order_of, passes
from leakdx.mechanics.outline import Outline
from leakdx.mechanics.places import clock
from leakdx.quantities import convert

_TYPED = re.compile(
    r"(?P<count>\d{1,2})"
    r"(?:\s+oblong\s+(?P<high>[\d.]+\s*[a-z]+)\s+by\s+(?P<wide>[\d.]+\s*[a-z]+))?"
    r"(?:\s+dowels?\s+(?P<at>\d{1,2}(?:[ ,]+\d{1,2})*))?"
)
EXAMPLE = "16 dowels 3 11, or 12 oblong 400 mm by 300 mm dowels 2 8"
_COUNT, _HIGH, _WIDE = "count", "high", "wide"
"""Fields of a measured joint, as they stand in what was typed of it."""
_LENGTH = number_in("m", "400mm")
_PASS = re.compile(r"pass (\d+) of (\d+)\b")


class Ring(Struct, frozen=True, kw_only=True):
    """Fasteners are numbered clockwise from 1 at the top, seen from the pinion. ``turns``: rad clockwise from there.

    ``order``: numbers as they are due.
    ``dowels``: those at dowels, first in the order; ``torques``: of each pass in words, the last one a round.
    """

    line: Outline
    turns: tuple[float, ...]
    order: tuple[int, ...]
    dowels: frozenset[int]
    torques: tuple[str, ...]

    @property
    def count(self) -> int:
        """Fasteners."""
        return len(self.turns)

    def due(self, turn: int, place: int) -> int:
        """The fastener that is due in a pass (from 0) after so many others; the last pass goes round clockwise."""
        return place + 1 if turn == len(self.torques) - 1 else self.order[place]

    def hour(self, fastener: int) -> str:
        """Where a fastener stands, as a time of the clock."""
        return clock(self.turns[fastener - 1])

    def pass_words(self, turn: int) -> str:
        """A pass that is done, for the file."""
        return f"pass {turn + 1} of {len(self.torques)}: all {self.count}, {self.torques[turn]}"


def _values(knowledge: Knowledge, axle: str | None) -> Mapping[str, AxleValue]:
    known = knowledge.axles.get(axle or "")
    return known.values if known is not None else {}


def usual_ring(knowledge: Knowledge, case: Case) -> str:
    """The fasteners by the axle family, else as they were measured last, as they would be typed; empty: not known."""
    own = _values(knowledge, case.axle).get(COUNT.value)
    if own is not None:
        return f"{own.value:g}"
    counted = [e.readings for e in case.standing if isinstance(e, Measurement) and _COUNT in e.readings]
    if not counted:
        return ""
    last = counted[-1]
    sides = f" oblong {last[_HIGH]} by {last[_WIDE]}" if _HIGH in last and _WIDE in last else ""
    return f"{last[_COUNT]}{sides}"


def ring_of(knowledge: Knowledge, axle: str | None, typed: str) -> Ring:
    """The ring of so many fasteners, typed as in EXAMPLE. MeasureError: it cannot be so."""
    found = _TYPED.fullmatch(typed.strip())
    if found is None:
        raise MeasureError(f"'{typed[:40]}' is no count of fasteners; write it as {EXAMPLE}")
    dowels = [int(word) for word in re.split(r"[ ,]+", found["at"] or "") if word]
    values = _values(knowledge, axle)
    radius, torque = values.get(RADIUS.value), values.get(TORQUE.value)
    high, wide = (_LENGTH(found[side]) if found[side] else None for side in ("high", "wide"))
    own = convert(f"{radius.value}", radius.unit, RADIUS.unit) if radius and high is None else None
    joint = Joint(count=int(found["count"]), radius=own, high=high, wide=wide)
    line = joint.outline(usual=1.0)
    groups = order_of(line, joint.fasteners(line), dowels)
    return Ring(
        line=line,
        turns=joint.turns(line),
        order=tuple(each for group in groups for each in group.numbers),
        dowels=frozenset(dowels),
        torques=_torques(knowledge, convert(f"{torque.value}", torque.unit, TORQUE.unit) if torque else None),
    )


def _torques(knowledge: Knowledge, torque: float | None) -> tuple[str, ...]:
    """Each pass in words, then once round; without a torque of the axle's manual only its share."""
    shares = knowledge.trade_numbers.passes.shares
    if torque is None:
        words = [f"{share:.0%} of the torque in the axle's manual" for share in shares]
    else:
        words = [_torque(each) for each in passes(torque, shares)]
    return (*words, f"{words[-1]}, once round clockwise")


def _torque(newton_metres: float) -> str:
    feet = convert(str(newton_metres), "N*m", "lbf*ft")
    return f"{number(round(feet), 'g')} lb-ft ({number(round(newton_metres), 'g')} N·m)"


def passes_done(case: Case) -> int:
    """How many passes stand in the log since the repair was decided on."""
    decided = max((e.number for e in case.standing if isinstance(e, Record) and e.kind == "decided"), default=0)
    records = (e.text for e in case.standing if isinstance(e, Record) and e.kind == "step" and e.number > decided)
    return sum(_PASS.match(text) is not None for text in records)
