"""The clocks of a sealed joint: how long the bead may stand open, when oil may go in, when the truck may work.

They are worked out from the times of the entries, so nothing has to run for them, and a restart changes nothing. The
label's times are for usual air: in the cold waits grow by the law of ``mechanics.cure``, in warm moist air the open
time shrinks; what the label says is never shortened for a wait, nor lengthened for the open time.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

from msgspec import Struct

from leakdx.case import Case, Comeback, Done, LogEntry, Record
from leakdx.knowledge.actions import Clock
from leakdx.knowledge.model import Knowledge

SHOWN_AFTER = timedelta(hours=12)
"""So long it is still said that a wait is over."""
OIL, LOAD = "oil", "load"
BY_LABEL, USUAL = "by the label", "usual time, label not typed"


class Running(Struct, frozen=True):
    """One clock. ``until``: local time; ``words``: as of now; ``by``: what its length stands on.

    ``urgent``: it says to stop or to act at once.
    """

    name: str
    until: datetime
    words: str
    by: str
    urgent: bool = False


class _Waits(Struct, frozen=True):
    """Seconds, and what they stand on in words."""

    open: float
    fill: float
    load: float
    by: str


def clocks(knowledge: Knowledge, case: Case, now: datetime) -> tuple[Running, ...]:
    """The clocks that matter now; none where no bead was begun since the truck came in, or the case is closed."""
    began = _moments(knowledge, case)
    bead = began.get("bead begun")
    if bead is None or case.closed:
        return ()
    waits = _waits(knowledge, case)
    cure = began.get("cure begun")
    if cure is None or cure < bead:
        seated = began.get("joint closed")
        return (_open(bead, seated is not None and seated >= bead, waits, now),)
    both = ((OIL, waits.fill), (LOAD, waits.load))
    return tuple(_wait(name, cure, wait, waits.by, now) for name, wait in both if _matters(cure, wait, now))


def load_wait(knowledge: Knowledge, case: Case) -> float:
    """Hours that sealant cures before the truck may work, by the label that was typed or as is usual."""
    return _waits(knowledge, case).load / 3600


def _moments(knowledge: Knowledge, case: Case) -> dict[Clock, datetime]:
    """When each clock was last started; a closing that nobody wrote down step by step starts them when it is done."""
    starts = {step.do: step.clock for repair in knowledge.repairs.values() for step in repair.steps if step.clock}
    found: dict[Clock, datetime] = {}
    told = False
    for entry in since_it_came(case):
        if isinstance(entry, Record) and entry.kind == "step" and entry.text in starts and entry.at is not None:
            found[starts[entry.text]] = local(entry.at)
            told = told or starts[entry.text] == "cure begun"
        elif is_bead(knowledge, entry):
            if not told and entry.at is not None:
                found |= {"bead begun": local(entry.at), "cure begun": local(entry.at)}
            told = False
    return found


def is_bead(knowledge: Knowledge, entry: LogEntry) -> bool:
    """Whether the joint was closed with sealant, in one entry for the whole repair."""
    return (
        isinstance(entry, Done) and entry.act in knowledge.repairs and knowledge.repairs[entry.act].closes == "sealant"
    )


def since_it_came(case: Case) -> Sequence[LogEntry]:
    """What stands in the log since the truck last came in."""
    back = max((entry.number for entry in case.standing if isinstance(entry, Comeback)), default=0)
    return [entry for entry in case.standing if entry.number > back]


def local(at: datetime) -> datetime:
    """The time on this machine's wall, without its zone."""
    return at.astimezone().replace(tzinfo=None) if at.tzinfo else at


def _waits(knowledge: Knowledge, case: Case) -> _Waits:
    """The label's times in this air, or usual ones where they were not typed."""
    from leakdx.measured.sealant import SealantLabel, read_label  # only where there is a bead
    from leakdx.mechanics.cure import USUAL_C, USUAL_HUMIDITY, air_factor, open_in_air, wait_in_air

    typed = [e.text for e in since_it_came(case) if isinstance(e, Record) and e.kind == "sealant"]
    label = read_label(typed[-1]) if typed else SealantLabel()
    air = USUAL_C if label.air is None else label.air
    humidity = USUAL_HUMIDITY if label.humidity is None else label.humidity
    factor, usual = air_factor(air, humidity), knowledge.trade_numbers.cure.waits
    known = BY_LABEL if None not in (label.open, label.fill, label.load) else USUAL
    return _Waits(
        open_in_air(label.open or usual.open_min * 60, factor),
        wait_in_air(label.fill or usual.fill_h * 3600, factor),
        wait_in_air(label.load or usual.load_h * 3600, factor),
        f"{known}, {f'{air:.0f} degC' if label.air is not None else 'usual air, temperature not typed'}",
    )


def _open(bead: datetime, is_seated: bool, waits: _Waits, now: datetime) -> Running:
    """The open time: until the carrier is seated, and then until every fastener is tight."""
    until = bead + timedelta(seconds=waits.open)
    left, gone = minutes_up(until - now), minutes_up(now - bead, down=True)
    todo = "every fastener to its torque" if is_seated else "carrier seated"
    since = f"bead begun {moment(bead, now)}, {gone} min ago"
    if now >= until:
        late = "the torque is late: the bead may have skinned" if is_seated else "off again, clean and lay it anew"
        return Running(
            "bead", until, f"OPEN TIME IS OVER since {moment(until, now)} ({since}): {late}", waits.by, urgent=True
        )
    words = f"Open time: {left} min left, {todo} by {moment(until, now)} ({since}; {waits.by})"
    return Running("bead", until, words, waits.by)


def _matters(cure: datetime, seconds: float, now: datetime) -> bool:
    return now < cure + timedelta(seconds=seconds) + SHOWN_AFTER


def _wait(name: str, cure: datetime, seconds: float, by: str, now: datetime) -> Running:
    until = cure + timedelta(seconds=seconds)
    when = moment(until, now)
    if now >= until:
        return Running(name, until, f"{name.capitalize()} allowed since {when} ({by})", by)
    return Running(
        name, until, f"NO {name.upper()} before {when}, {_span(until - now)} to wait ({by})", by, urgent=True
    )


def minutes_up(span: timedelta, *, down: bool = False) -> int:
    """Whole minutes, begun ones counted unless ``down``."""
    seconds = span.total_seconds()
    return int(seconds // 60) if down else int(-(-seconds // 60))


def _span(span: timedelta) -> str:
    minutes = minutes_up(span)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60} min"


def moment(at: datetime, now: datetime) -> str:
    """The time of day; with its date where that is not today's."""
    return at.strftime("%H:%M" if at.date() == now.date() else "%Y-%m-%d %H:%M")
