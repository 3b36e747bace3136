"""A ring of fasteners as it was tightened, and as it was audited."""

from collections.abc import Sequence
from dataclasses import dataclass

from msgspec.structs import replace

from leakdx.measured.fields import text, typed_as, words
from leakdx.measured.typed import count, number_in, numbers_in, plain
from leakdx.mechanics.audit import Audit, Fastener, Reading, Tightening, audit, fastener
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.threads import Thread, inch_thread, read_grade, read_thread, strength
from leakdx.mechanics.trade import ThreadState, Trade

_TORQUE = number_in("N*m", "225lb-ft")


@dataclass(frozen=True, kw_only=True)
class RingRead:
    """How it was tightened (N m, m), and the first movement of each fastener, in order, the unit last.

    ``diameter`` and ``per_inch`` stand in place of ``thread`` where an axle family gives them.
    """

    thread: str | None = typed_as(text)
    grade: str | None = typed_as(text)
    torque: float | None = typed_as(_TORQUE)
    turning: str = typed_as(text, "zinc")
    nut_factor: float | None = typed_as(plain("0.2"))
    audit: Sequence[str] | None = typed_as(words)
    count: int | None = typed_as(count)
    way: str = typed_as(text, "moving")
    bond: float = typed_as(_TORQUE, 0.0)
    diameter: float | None = typed_as(number_in("m", "0.625in"))
    per_inch: float | None = typed_as(plain("11"))


def tightening(read: RingRead, numbers: Trade) -> Tightening:
    """How the ring was tightened. MeasureError where something of it is missing or unknown."""
    thread = _thread(read, numbers)
    if read.grade is None:
        raise MeasureError(f"give --grade of the fasteners, one of {', '.join(numbers.grades)}")
    grade = read_grade(read.grade, numbers)
    if read.torque is None:
        raise MeasureError("give --torque that was ordered, such as 225lb-ft; --axle names a family that has it")
    return Tightening(thread, strength(grade, thread), _turning(read, numbers), read.torque)


def audited(read: RingRead, numbers: Trade) -> Audit:
    """What the first movements say. MeasureError where they cannot be."""
    if read.audit is None:
        raise MeasureError("give --audit, the first movement of each fastener in order, the unit last")
    done = tightening(read, numbers)
    readings = numbers_in(read.audit, "N*m", "--audit", "225 220 0 lb-ft, the unit last")
    if read.count is not None and read.count != len(readings):
        raise MeasureError(
            f"--audit has {len(readings)} readings for {read.count} fasteners; give one for each, in order"
        )
    return audit(readings, done, Reading(read.way, read.bond), numbers)


def one(read: RingRead, number: int, typed: str, numbers: Trade) -> Fastener:
    """What one first movement says, whatever of the ring is still to be read. MeasureError as there."""
    return fastener(number, _TORQUE(typed), tightening(read, numbers), Reading(read.way, read.bond), numbers)


def _thread(read: RingRead, numbers: Trade) -> Thread:
    """That which was typed, or the axle family's."""
    if read.thread is not None:
        return read_thread(read.thread, numbers)
    if read.diameter is None or read.per_inch is None:
        raise MeasureError("give the thread, such as 5/8-11; --axle names a family that has it")
    return inch_thread(read.diameter, read.per_inch, numbers)


def _turning(read: RingRead, numbers: Trade) -> ThreadState:
    state = numbers.threads_state.get(read.turning)
    if state is None:
        raise MeasureError(f"there is no thread '{read.turning[:40]}'; known are {', '.join(numbers.threads_state)}")
    return state if read.nut_factor is None else replace(state, nut_factor=read.nut_factor)
