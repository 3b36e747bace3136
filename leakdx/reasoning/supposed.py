"""What could have been answered otherwise, or could still be answered, as changes to a case that can be tried."""

from collections.abc import Iterable, Iterator
from contextlib import suppress

from msgspec import Struct, structs

from leakdx.case import (
    NO_INFORMATION,
    Case,
    Done,
    LogEntry,
    Measurement,
    Observation,
    PlacesSeen,
    Reading,
    Told,
    Withdrawal,
)
from leakdx.errors import CaseError
from leakdx.knowledge.model import ABNORMAL, NORMAL, Knowledge
from leakdx.knowledge.place_signs import wet_sign
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.walk import NOBODY, acts_before


class Change(Struct, frozen=True, order=True):
    """One answer: ``id`` (a sign or history group) is ``answer``.

    ``entry``: the entry of the log that said otherwise; 0: not looked at so far, and ``check`` would show it.
    ``answer`` is empty where readings are left out.
    """

    entry: int
    id: str
    answer: str
    check: str = ""


def changes(diagnosis: Diagnosis) -> tuple[Change, ...]:
    """Every single answer that may still be given by a check at hand, and every other answer to what was answered."""
    found = dict.fromkeys((*_unmade(diagnosis), *_otherwise(diagnosis)))
    first: dict[tuple[int, str, str], Change] = {}
    for change in found:
        first.setdefault((change.entry, change.id, change.answer), change)
    return tuple(first.values())


def supposed(diagnosis: Diagnosis, changed: Iterable[Change]) -> Case:
    """The case as it would be with these answers; what is looked at first has its access opened by acts of the log."""
    knowledge, case = diagnosis.knowledge, diagnosis.case
    log = list(case.log)
    done: set[str] = set()
    for change in changed:
        if change.entry:
            at = next(i for i, entry in enumerate(log) if entry.number == change.entry)
            log[at : at + 1] = _replaced(log[at], change)
            continue
        for act in acts_before(diagnosis, change.check):
            if act not in done:
                log.append(Done(number=_next(log), who=NOBODY, act=act))
                done.add(act)
        log.append(_answered(knowledge, change, _next(log)))
    taken_back = [
        Withdrawal(number=_next(log) + i, who=NOBODY, entry=c.entry)
        for i, c in enumerate(c for c in changed if c.entry and not c.answer)
    ]
    return structs.replace(case, log=(*log, *taken_back))


def tried(diagnosis: Diagnosis, sets: Iterable[tuple[Change, ...]]) -> Iterator[tuple[tuple[Change, ...], Diagnosis]]:
    """The truck diagnosed with each set of answers; those that exclude one another cannot be so and are left out."""
    for changed in sets:
        with suppress(CaseError):
            made = diagnose(diagnosis.knowledge, supposed(diagnosis, changed))
            made.causes  # noqa: B018 - worked out here, where what excludes one another is passed over
            yield changed, made


def span(diagnosis: Diagnosis, changed: Iterable[Change]) -> tuple[float, float]:
    """Minutes (low, high) until these answers are had, access that is shared opened once; an entry costs nothing."""
    knowledge = diagnosis.knowledge
    checks = [knowledge.checks[check] for check in dict.fromkeys(c.check for c in changed if c.check)]
    opened = frozenset[str]().union(*(diagnosis.planner.opens(check) for check in checks))
    spans = [check.minutes for check in checks] + [knowledge.openings[opening].minutes for opening in opened]
    return sum(s[0] for s in spans), sum(s[1] for s in spans)


def _next(log: list[LogEntry]) -> int:
    return max((entry.number for entry in log), default=0) + 1


def _unmade(diagnosis: Diagnosis) -> Iterator[Change]:
    """Answers of the checks at hand, those with the least to open first."""
    knowledge, known = diagnosis.knowledge, diagnosis.history
    at_hand = diagnosis.offer.checks()
    dear = {check: span(diagnosis, [Change(0, "", "", check)]) for check in at_hand}
    for check in sorted(at_hand, key=lambda c: (sum(dear[c]), c)):
        for sign in at_hand[check]:
            for answer in knowledge.signs[sign].outcomes:
                yield Change(0, sign, answer, check)
        for group in knowledge.checks[check].reveals:
            if group in knowledge.history and group not in known:
                for answer in knowledge.history[group].answers:
                    yield Change(0, group, answer, check)


def _otherwise(diagnosis: Diagnosis) -> Iterator[Change]:
    """What entries that stand could have said instead."""
    knowledge = diagnosis.knowledge
    for entry in diagnosis.case.standing:
        match entry:
            case Observation() if entry.answer not in NO_INFORMATION:
                others = (answer for answer in knowledge.signs[entry.sign].outcomes if answer != entry.answer)
                yield from (Change(entry.number, entry.sign, answer) for answer in others)
            case PlacesSeen():
                yield from (Change(entry.number, wet_sign(place), NORMAL) for place in entry.wet)
                yield from (Change(entry.number, wet_sign(place), ABNORMAL) for place in entry.dry)
            case Told() if entry.answer not in NO_INFORMATION:
                told = (answer for answer in knowledge.history[entry.group].answers if answer != entry.answer)
                yield from (Change(entry.number, entry.group, answer) for answer in told)
            case Reading():
                yield Change(entry.number, entry.sign, "")
            case Measurement():
                yield Change(entry.number, entry.by, "")
            case _:
                pass


def _replaced(entry: LogEntry, change: Change) -> list[LogEntry]:
    """The entry with the other answer; one of readings stays, and is withdrawn behind the log."""
    match entry:
        case Observation():
            return [structs.replace(entry, answer=change.answer)]
        case Told():
            return [structs.replace(entry, answer=change.answer)]
        case PlacesSeen():
            place = next(p for p in (*entry.wet, *entry.dry) if wet_sign(p) == change.id)
            wet, dry = (tuple(p for p in places if p != place) for places in (entry.wet, entry.dry))
            wet, dry = ((*wet, place), dry) if change.answer == ABNORMAL else (wet, (*dry, place))
            return [structs.replace(entry, wet=wet, dry=dry)]
        case _:
            return [entry]


def _answered(knowledge: Knowledge, change: Change, number: int) -> LogEntry:
    if change.id in knowledge.history:
        return Told(number=number, who=NOBODY, group=change.id, answer=change.answer)
    return Observation(number=number, who=NOBODY, sign=change.id, answer=change.answer)
