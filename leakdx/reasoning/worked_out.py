"""From the raw readings of an entry to evidence for the signs that they answer.

The calculation is that of ``leakdx calc``. Its result becomes the likelihood of each answer, and a value is handed on
with its error; what is usual of trucks is left to the belief, so that nothing is counted twice.
"""

from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import TYPE_CHECKING

from msgspec import Struct

from leakdx.case import Measurement, Sureness
from leakdx.errors import CaseError
from leakdx.knowledge.model import Axle, Knowledge, Measure, Sign, WorkedOut
from leakdx.quantities import convert

if TYPE_CHECKING:
    from leakdx.measured.finding import Finding, Value

SURE = 0.9
"""From which chance on an answer that was worked out counts as sure."""


class WorkedValue(Struct, frozen=True):
    """A value in the unit of its measure, between ``low`` and ``high`` (both the same: one value), with its error.

    ``beyond``: what the limit's rule says of it, None where it cannot; ``close``: too close to the limit to say.
    """

    low: float
    high: float
    error: float
    beyond: bool | None
    close: bool


class Worked(Struct, frozen=True, kw_only=True):
    """What raw readings say of one sign.

    ``says``: likelihood of each outcome, the greatest 1; of a value it is its chance of being within and beyond, with
    what is usual before it, and only to be told. ``answer``: the middle of the outcomes by their weight.
    """

    entry: int
    sign: str
    answer: str
    sure: Sureness
    says: tuple[float, ...]
    said: str
    typed: tuple[str, str] = ("", "")
    """Value and unit as a reading of this fineness has them."""
    value: WorkedValue | None = None


def answered_by(knowledge: Knowledge, entry: Measurement) -> tuple[str, ...]:
    """The signs that a measurement answers."""
    return tuple(id for id, sign in knowledge.signs.items() if _takes(sign.worked_out, entry))


def _takes(worked: WorkedOut | None, entry: Measurement) -> bool:
    return (
        worked is not None
        and worked.by == entry.by
        and (not worked.of or worked.of in entry.readings)
        and all(entry.readings.get(field, "").strip() == value for field, value in worked.only.items())
    )


def work_out(knowledge: Knowledge, axle: str | None, entry: Measurement) -> tuple[Worked, ...]:
    """What a measurement says of each sign that it answers, on a truck of this axle family.

    MeasureError: the readings cannot be, ``FieldError`` where it is known which field; CaseError: nothing is answered.
    """
    signs = answered_by(knowledge, entry)
    if not signs:
        raise CaseError(_unanswered(knowledge, entry))
    readings = _with_axle(knowledge.axles.get(axle or ""), entry)
    return tuple(_worked(knowledge, entry, id, readings) for id in signs)


def _unanswered(knowledge: Knowledge, entry: Measurement) -> str:
    """Why nothing is answered, and what would be right."""
    ways = [sign.worked_out for sign in knowledge.signs.values() if sign.worked_out]
    ways = [way for way in ways if way.by == entry.by]
    wanted = [f"{field}: {value}" for way in ways for field, value in way.only.items()]
    wanted += [f"{way.of}: ..." for way in ways if way.of]
    if not wanted:
        return f"nothing of the knowledge is answered by '{entry.by}'; write it as a note"
    return f"it is not said what was read; write {' or '.join(dict.fromkeys(wanted))}"


def _with_axle(axle: Axle | None, entry: Measurement) -> Mapping[str, str]:
    from leakdx.measured.axle import filled

    return filled(entry.by, entry.readings, axle.values, axle.name) if axle is not None else entry.readings


def _worked(knowledge: Knowledge, entry: Measurement, id: str, readings: Mapping[str, str]) -> Worked:
    from leakdx.measured.face import Limit
    from leakdx.measured.finding import finding  # the mechanics are loaded only where something was measured

    sign = knowledge.signs[id]
    measure, worked_out = sign.measure, sign.worked_out
    assert worked_out is not None, "only signs that readings answer are worked out"
    limit = Limit(measure.limit, measure.unit, measure.median, measure.factor) if measure else None
    found = finding(entry.by, readings, knowledge.trade_numbers, limit, worked_out.of)
    chances = _chances(sign, found)
    says = _likelihood(chances, found.by_itself, knowledge.stray(sign.stray))
    middle = next(at for at, total in enumerate(accumulate(chances)) if total >= 0.5 * sum(chances))
    sure: Sureness = "sure" if chances[middle] >= SURE else "fairly"
    value = found.value
    return Worked(
        entry=entry.number,
        sign=id,
        answer=sign.outcomes[middle],
        sure=sure,
        says=says,
        said=found.said,
        typed=(value.value, value.unit) if value else ("", ""),
        value=_in_unit(measure, value) if value and measure else None,
    )


def _likelihood(chances: Sequence[float], by_itself: float | None, stray: float) -> tuple[float, ...]:
    """Likelihood of each outcome.

    Where it is known how often the last outcome comes of nothing with readings like these, and that is oftener than
    the sign's stray, the first outcome is left as likely as makes up for the difference.
    """
    if by_itself is not None and len(chances) == 2 and chances[-1] == max(chances):
        return (max(0.0, by_itself - stray) / (1 - stray), 1.0)
    return tuple(chance / max(chances) for chance in chances)


def _chances(sign: Sign, found: "Finding") -> tuple[float, ...]:
    """Chance of each outcome of the sign."""
    if found.value is not None:
        return 1 - found.value.chance_beyond, found.value.chance_beyond
    assert sign.worked_out is not None
    means = sign.worked_out.means
    return tuple(sum(p for result, p in found.chances.items() if means[result] == o) for o in sign.outcomes)


def _in_unit(measure: Measure, value: "Value") -> WorkedValue:
    factor = convert("1", "m", measure.unit)
    return WorkedValue(value.low * factor, value.high * factor, value.spread * factor, value.beyond, value.close)
