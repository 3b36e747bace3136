"""What a measurement comes to, as evidence: a value with its error, or the chance of each of its results.

A chance here is by the readings alone: what is usual of trucks is the belief's to add, and is added once.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from leakdx.measured.bead import BeadRead, bead
from leakdx.measured.drips import DripsRead, standing_rate, wetness
from leakdx.measured.face import FaceRead, Limit, Rule, measured
from leakdx.measured.fields import from_texts
from leakdx.measured.kinds import RESULTS, Calculation
from leakdx.measured.ring import RingRead, audited
from leakdx.measured.together import PlaceRead, Stands, weak_stand, weld_stands
from leakdx.mechanics.audit import Audit, pattern_chances
from leakdx.mechanics.band import Band
from leakdx.mechanics.flat_enough import Verdict, judged
from leakdx.mechanics.trade import Trade

FIELDS: Mapping[Calculation, type] = {
    "flatness": FaceRead, "fasteners": RingRead, "leak": DripsRead, "weld": BeadRead, "place": PlaceRead,
}  # fmt: skip
"""What each is typed as."""
_ML_PER_H, _ML_IN_FLOZ = 3.6e9, 29.5735
"""Millilitres an hour in a cubic metre a second, and in a fluid ounce."""


@dataclass(frozen=True)
class Value:
    """A value as typed, what is known of the true one (m, as ``flatness.Seen``), and what the limit says of it.

    ``beyond``: by the rule, at the fineness of the reading; None where the readings cannot say. ``close``: too close
    to say, so that it is measured again. ``chance_beyond``: with what is usual before it.
    """

    value: str
    unit: str
    low: float
    high: float
    spread: float
    beyond: bool | None
    close: bool
    chance_beyond: float


@dataclass(frozen=True)
class Finding:
    """``chances``: result -> chance, none of them for a value; ``said``: in words.

    ``by_itself``: how often the last result comes of nothing at all, where that is known of these readings.
    """

    chances: Mapping[str, float]
    said: str
    value: Value | None = None
    by_itself: float | None = None


def finding(
    by: Calculation, texts: Mapping[str, str], numbers: Trade, limit: Limit | None = None, of: str = ""
) -> Finding:
    """Work a measurement out from the texts of its fields.

    ``limit`` is needed for a value, ``of`` where the calculation speaks of several things. FieldError, MeasureError:
    something of it cannot be.
    """
    read: object = from_texts(FIELDS[by], texts)
    return _place(read, of) if isinstance(read, PlaceRead) else _WORKED[by](read, numbers, limit)


def _flatness(read: FaceRead, numbers: Trade, limit: Limit | None) -> Finding:
    if limit is None:
        raise ValueError("flatness is held against a limit")
    found = measured(read, limit.typed, numbers.flatness)
    judging = judged(found.seen, limit.usual, limit.typed.metres)
    beyond = None if found.rule is Rule.UNASKED else found.rule is Rule.STOPS
    seen = found.seen
    value = Value(found.value.text, found.value.unit, seen.low, seen.high, seen.spread, beyond,
                  judging.verdict is Verdict.CLOSE or beyond is None, judging.chance_beyond)  # fmt: skip
    return Finding({}, f"{found.value.text} {found.value.unit}, by {found.way}", value)


def _fasteners(read: RingRead, numbers: Trade, _: Limit | None) -> Finding:
    found = audited(read, numbers)
    chances = {pattern.value: chance for pattern, chance in pattern_chances(found).items()}
    return Finding(chances, _lost(found))


def _lost(found: Audit) -> str:
    runs = "; ".join(" ".join(map(str, run)) for run in found.runs)
    said = f"lost clamp: {runs}" if runs else "none has surely lost its clamp"
    return f"{said}, by the first movement of {len(found.fasteners)} fasteners"


def _leak(read: DripsRead, numbers: Trade, _: Limit | None) -> Finding:
    rate = standing_rate(read, numbers.leak)
    wet = wetness(read)
    chances = {result: float(result == wet.name.lower()) for result in RESULTS["leak"]}
    low, likely, high = (each * _ML_PER_H for each in (rate.low, rate.likely, rate.high))
    said = f"{likely:.2g} mL or {likely / _ML_IN_FLOZ:.2g} fl oz an hour ({low:.2g} to {high:.2g} mL), {wet}"
    return Finding(chances, said)


def _weld(read: BeadRead, numbers: Trade, _: Limit | None) -> Finding:
    made = bead(read, numbers)
    harm = made.chance_of_harm
    said = f"the joint got to {_degrees(made.peak)}, {made.seal.words} bears {_degrees(made.bears)}"
    return Finding({"bears": 1 - harm, "harmed": harm}, said)


def _degrees(band: Band) -> str:
    """A temperature (degC) in both systems, its band in one."""
    fahrenheit = 32 + 1.8 * band.likely
    return f"{band.likely:.0f} °C or {fahrenheit:.0f} °F ({band.low:.0f} to {band.high:.0f} °C)"


def _place(read: PlaceRead, of: str) -> Finding:
    found = _STANDS[of](read)
    often = f"one time in {round(1 / found.chance)}" if found.chance < 0.5 else "more often than not"
    near = f"so near by chance {often}" if found.together else "away from it"
    result = {"apart": float(not found.together), "together": float(found.together)}
    other = f"a weld at {read.weld}" if of == "weld" else f"fasteners {' '.join(map(str, read.weak or ()))}"
    return Finding(result, f"wet {read.wet}, held against {other}: {near}", by_itself=found.chance)


_STANDS: Mapping[str, Callable[[PlaceRead], Stands]] = {"weak": weak_stand, "weld": weld_stands}
_WORKED: Mapping[Calculation, Callable[..., Finding]] = {
    "flatness": _flatness, "fasteners": _fasteners, "leak": _leak, "weld": _weld,
}  # fmt: skip
