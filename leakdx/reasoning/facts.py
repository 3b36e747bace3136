"""Facts that rules stand on: what the log says, in one flat shape, and what it means for a fact to meet a condition."""

from collections.abc import Iterable, Iterator, Mapping
from math import sqrt
from typing import Literal, get_args

from msgspec import Struct

from leakdx.errors import CaseError
from leakdx.knowledge.actions import Conclusion, Condition
from leakdx.knowledge.model import ABNORMAL, NORMAL, Knowledge, Measure
from leakdx.quantities import beyond, convert
from leakdx.reasoning.timeline import ActDone, SignAnswer, SignReading, Timeline

Kind = Literal[
    "sign",
    "reading",
    "arc",
    "history",
    "finding",
    "act",
    "open",
    "complaint",
    "doubted",
    "returned",
    "established",
    "excluded",
]
KINDS: tuple[Kind, ...] = get_args(Kind)
ANYWHERE = "any"
"""A condition on the complaint that every complaint meets."""
WITHIN, BEYOND, CLOSE, BOTH_SIDES = "within", "beyond", "close", "both_sides"
TIMES = ("once", "again")
VERDICTS = (WITHIN, BEYOND, CLOSE, BOTH_SIDES)
READINGS_THAT_SETTLE = 3
DOUBTFUL = (CLOSE, BOTH_SIDES)
"""Verdicts on which nothing is settled, however often it is written down."""


class Fact(Struct, frozen=True, order=True):
    """One thing that is so. ``answer`` is empty for kinds that have none (finding, act, open, ...)."""

    kind: Kind
    id: str
    answer: str = ""
    sure: bool = True


Given = Mapping[Fact, tuple[int, ...]]
"""Facts from the log, sorted, each with the numbers of the entries that it rests on."""


def given_facts(knowledge: Knowledge, timeline: Timeline) -> Given:
    """The facts of a case before any rule has run, in an order that does not depend on the order of entry.

    A sign speaks by its answer in the latest epoch in which it was answered, a measured one by its readings
    in the latest epoch in which it was read. What was wet is no longer said once it was seen dry in a later epoch.

    Raises:
        CaseError: A fact does not fit the knowledge.
        QuantityError: A reading is no number, or its unit measures something else.
    """
    found: dict[Fact, tuple[int, ...]] = {}
    for fact, entry in _said(knowledge, timeline):
        found[fact] = (*found.get(fact, ()), entry)
    for fact, entries in _read(knowledge, timeline):
        found[fact] = entries
    for fact in found:
        fault = slot_fault(knowledge, fact)
        if fault is not None:
            raise CaseError(fault)
    return {fact: tuple(sorted(entry for entry in found[fact] if entry > 0)) for fact in sorted(found)}


def _said(knowledge: Knowledge, timeline: Timeline) -> Iterator[tuple[Fact, int]]:
    yield Fact("complaint", timeline.complaint), 0
    cleaned = max((a.entry for a in timeline.acts if _must_be_driven_after(knowledge, a.act)), default=0)
    latest = {answer.sign: answer for answer in sorted(timeline.answers, key=lambda answer: answer.epoch)}
    for seen in latest.values():
        if timeline.is_past(knowledge, seen.sign, seen.entry):
            continue
        # Dry before the wash is not dry after the drive that followed it; wet as found stays what was found,
        # until somebody has looked at that place again.
        if seen.entry < cleaned and seen.answer == NORMAL and knowledge.signs[seen.sign].place:
            continue
        if any(_overtakes(knowledge, later, seen) for later in latest.values()):
            continue
        sure = seen.sure == "sure" and timeline.shaken.isdisjoint(seen.relies)
        yield Fact("sign", seen.sign, seen.answer, sure), seen.entry
        if seen.arc is not None and seen.answer != NORMAL:
            yield Fact("arc", seen.sign, "", sure), seen.entry
    for told in timeline.history:
        yield Fact("history", told.group, told.answer), told.entry
    for act in (done for done in timeline.acts if done.act):
        if not _is_undone(knowledge, timeline, act):
            yield Fact("act", act.act), act.entry
    for opening, entry in timeline.open.items():
        yield Fact("open", opening), entry
    for doubt in timeline.doubts:
        if doubt.matters:
            yield Fact("doubted", doubt.of), doubt.entry
    for time, back in zip(TIMES, timeline.returns, strict=False):
        yield Fact("returned", time), back.entry


def _overtakes(knowledge: Knowledge, later: SignAnswer, seen: SignAnswer) -> bool:
    """Whether a place that was wet, or where oil came out, was seen dry in a later epoch (washed and driven, say)."""
    before, after = knowledge.signs[seen.sign].place, knowledge.signs[later.sign].place
    if not before or not after or seen.answer != ABNORMAL or later.answer != NORMAL or later.epoch <= seen.epoch:
        return False
    # That no oil comes out here first takes back "wet here", but not a track that ends here.
    is_dry = after[0] == "wet" or (after[0] == "origin" and before[0] != "trail")
    return is_dry and before[-1] == after[-1]


def _is_undone(knowledge: Knowledge, timeline: Timeline, done: ActDone) -> bool:
    """Whether a later act undid it; a closing that did not hold has to be opened, which undoes what opening does."""
    later = [act.act for act in timeline.acts if act.entry > done.entry]
    undone = {act for other in later if other in knowledge.acts for act in knowledge.acts[other].undoes}
    if any(back.entry > done.entry for back in timeline.closings):
        undone.update(act for other in knowledge.acts.values() for act in other.undoes)
    return done.act in undone


def _must_be_driven_after(knowledge: Knowledge, action: str) -> bool:
    act = knowledge.acts.get(action)
    return act is not None and act.needs_driving


def _read(knowledge: Knowledge, timeline: Timeline) -> Iterator[tuple[Fact, tuple[int, ...]]]:
    """Verdicts; readings by a doubted instrument are set aside where there are others."""
    latest: dict[str, list[SignReading]] = {}
    for reading in timeline.readings:
        if timeline.is_past(knowledge, reading.sign, reading.entry):
            continue
        same_epoch = [other for other in latest.get(reading.sign, ()) if other.epoch == reading.epoch]
        latest[reading.sign] = [*same_epoch, reading]
    for sign, rows in latest.items():
        measure = knowledge.signs[sign].measure
        if measure is None:
            raise CaseError(f"Entry {rows[-1].entry}: {sign!r} is looked at, not measured, so it takes no reading.")
        trusted = [row for row in rows if timeline.shaken.isdisjoint(row.relies)]
        entries = tuple(row.entry for row in trusted or rows)
        for verdict in verdicts(measure, trusted or rows):
            yield Fact("reading", sign, verdict, bool(trusted)), entries


def verdicts(measure: Measure, readings: Iterable[SignReading]) -> tuple[str, ...]:
    """What the readings of one true value say about its limit: WITHIN or BEYOND, and CLOSE or BOTH_SIDES besides.

    Each reading is compared at the resolution that it was typed in, and one beyond the limit is enough for
    BEYOND. CLOSE: the mean stands within one standard deviation of the gauge (of the mean of n readings) of
    the limit, and there is one reading only, or they disagree. So a reading exactly at the limit is within
    it and close until it is measured again, and a second reading that agrees settles it; what is beyond
    stays beyond, however close. BOTH_SIDES: the readings disagree, so one of them is wrong. A third reading ends
    it: a face at the limit gives honest readings on both sides for ever, and what is doubtful counts as beyond.
    """
    rows = tuple(readings)
    each = [_is_beyond(measure, row) for row in rows]
    verdict = BEYOND if any(each) else WITHIN
    mean = sum(convert(row.value, row.unit, measure.unit) for row in rows) / len(rows)
    is_near = abs(mean - measure.limit) <= measure.gauge / sqrt(len(rows))
    worked = [row.worked.value for row in rows if row.worked and row.worked.value]
    if worked:
        is_near = worked[-1].close if len(rows) == 1 else is_near or worked[-1].close
    is_settled = len(rows) >= READINGS_THAT_SETTLE or (len(rows) > 1 and len(set(each)) == 1)
    doubts = ((CLOSE, is_near and not is_settled), (BOTH_SIDES, len(set(each)) > 1 and not is_settled))
    return (verdict, *(doubt for doubt, holds in doubts if holds))


def _is_beyond(measure: Measure, row: SignReading) -> bool:
    """Whether one reading is beyond the limit at its fineness; what cannot say so is not, and is close."""
    value = row.worked.value if row.worked else None
    if value is not None:
        return bool(value.beyond)
    return beyond(row.value, row.unit, measure.limit, measure.unit, measure.beyond)


def subject(of: Condition) -> tuple[Kind, tuple[str, ...]]:
    """Kind and ids that a condition speaks of; more than one: any of them."""
    if of.any_sign:
        return "sign", of.any_sign
    for kind in KINDS:
        id = getattr(of, kind)
        if id is not None:
            return kind, (id,)
    raise ValueError("a condition without a subject")


def meets(fact: Fact, condition: Condition) -> bool:
    """Whether a fact is of the kind that a condition speaks of, absent or not."""
    kind, ids = subject(condition)
    return (
        fact.kind == kind
        and (fact.id in ids or (kind == "complaint" and ANYWHERE in ids))
        and (not condition.is_ or fact.answer in condition.is_)
        and (fact.sure or not condition.surely)
    )


def concluded(conclusion: Conclusion, sure: bool) -> Fact | None:
    """The fact that a conclusion adds, on which later rules can stand; None if it only tells people what to do."""
    if conclusion.finding is not None:
        return Fact("finding", conclusion.finding, "", sure)
    if conclusion.sign is not None:
        return Fact("sign", conclusion.sign, conclusion.is_ or "", sure)
    if conclusion.history is not None:
        return Fact("history", conclusion.history, conclusion.is_ or "", sure)
    if conclusion.establish is not None:
        return Fact("established", conclusion.establish, "", sure)
    if conclusion.exclude is not None:
        return Fact("excluded", conclusion.exclude, "", sure)
    return None


def slot_fault(knowledge: Knowledge, fact: Fact) -> str | None:
    """What is wrong with a fact, in one sentence: the engine itself would take any word and never match it."""
    known: Mapping[Kind, Iterable[str]] = {
        "sign": knowledge.signs,
        "reading": knowledge.signs,
        "arc": knowledge.signs,
        "history": knowledge.history,
        "finding": knowledge.findings,
        "act": (*knowledge.acts, *knowledge.repairs),
        "open": knowledge.openings,
        "doubted": (*knowledge.instruments, *knowledge.acts),
        "returned": TIMES,
        "complaint": (*knowledge.places, *knowledge.zones),
        "established": knowledge.causes,
        "excluded": knowledge.causes,
    }
    if fact.id not in known[fact.kind]:
        return f"The knowledge has no {fact.kind} {fact.id!r}."
    answers = _answers(knowledge, fact)
    if fact.answer not in answers:
        return f"The {fact.kind} {fact.id!r} is {' or '.join(answers)}, not {fact.answer!r}."
    return None


def _answers(knowledge: Knowledge, fact: Fact) -> tuple[str, ...]:
    if fact.kind == "sign":
        return knowledge.signs[fact.id].outcomes
    if fact.kind == "reading":
        return VERDICTS
    if fact.kind == "history":
        return tuple(knowledge.history[fact.id].answers)
    return ("",)
