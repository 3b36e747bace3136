"""From the standing answers, readings and rule findings of a case to evidence for the belief."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from itertools import pairwise
from types import MappingProxyType

from msgspec import Struct
from msgspec.structs import replace

from leakdx.case import Sureness
from leakdx.knowledge.model import Answer, Knowledge, Measure
from leakdx.quantities import convert
from leakdx.reasoning.doubted import doubted_answer, doubted_readings
from leakdx.reasoning.evidence import (
    ActEvidence,
    DoubtEvidence,
    Evidence,
    HistoryEvidence,
    Redraw,
    Reported,
    SignEvidence,
)
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.measurement import Read, exactly, measured_likelihood
from leakdx.reasoning.rules import RuleRun
from leakdx.reasoning.timeline import HistoryAnswer, SignAnswer, SignReading, Timeline

FAIRLY_SURE_OTHER = 0.15
"""Likelihood of each outcome other than the one that somebody was fairly sure of."""


Expected = Callable[[str], Sequence[float]]
"""Sign -> chance of each outcome by the complaint alone."""


def gather(
    knowledge: Knowledge,
    timeline: Timeline,
    run: RuleRun,
    askable: Sequence[str],
    expected: Expected | None = None,
    new_leak: Mapping[str, float] = MappingProxyType({}),
) -> Evidence:
    """All evidence of a case, in an order that does not depend on the order of entry.

    A reading speaks before a plain answer to the same sign, and a direct answer before one that rules derived.
    ``expected`` is needed where something is doubted: a bad instrument gives each answer as often as that.
    ``new_leak`` (way of closing -> chance that it leaks) where the truck came back from a closing.
    """
    signs = _signs(knowledge, timeline, run, expected or _nothing_doubted)
    return Evidence(
        complaint=timeline.complaint,
        history=tuple(_history(knowledge, timeline, run)),
        acts=_acts(timeline),
        signs=tuple(sorted(signs, key=lambda s: (s.epoch, s.sign))),
        askable=tuple(askable),
        redraws=_redraws(knowledge, timeline, new_leak),
        comebacks=tuple(Reported(r.epoch, r.place) for r in timeline.returns),
        doubts=tuple(DoubtEvidence(d.entry, d.id, d.chance) for d in sorted(timeline.doubts, key=lambda d: d.id)),
    )


def _nothing_doubted(sign: str) -> Sequence[float]:
    raise ValueError(f"{sign} relies on something doubted, so what is expected of it is needed")


def _acts(timeline: Timeline) -> tuple[ActEvidence, ...]:
    """One for each epoch after the first: what all acts that opened it cure together."""
    opened: dict[int, ActEvidence] = {}
    for done in timeline.acts:
        if done.starts is not None:
            before = opened.get(done.starts, ActEvidence(done.entry, done.act, {}))
            cures = {c: 1 - (1 - before.cures.get(c, 0.0)) * (1 - k) for c, k in done.cures.items()}
            together = (*before.renews, *done.renews)
            dries = before.dries or done.dries
            opened[done.starts] = ActEvidence(before.entry, before.act, {**before.cures, **cures}, together, dries)
    return tuple(opened.values())


def known_history(knowledge: Knowledge, timeline: Timeline, run: RuleRun) -> dict[str, str]:
    """Group -> answer: what was told, what a find proved where nothing was told, and what was found otherwise later."""
    proved = _proved(timeline, run)
    seen = {one.group: one.seen for one in _overruled(knowledge, timeline, run, proved)}
    return {fact.id: fact.answer for fact in proved} | {told.group: told.answer for told in timeline.history} | seen


class Overruled(Struct, frozen=True):
    """A history answer that was told one way and seen to be otherwise; ``entry`` is FROM_AXLE for the axle family's."""

    entry: int
    group: str
    told: str
    seen: str


def overruled(knowledge: Knowledge, timeline: Timeline, run: RuleRun) -> tuple[Overruled, ...]:
    """What was told, and what a sure find shows to be otherwise later."""
    return _overruled(knowledge, timeline, run, _proved(timeline, run))


def _overruled(knowledge: Knowledge, timeline: Timeline, run: RuleRun, proved: Iterable[Fact]) -> tuple[Overruled, ...]:
    """What was told, and what a sure find shows to be otherwise later: the eye goes before the card.

    What is told after the find stands, since whoever told it had seen it. What only follows from something told is
    no find, and a find of before the last closing that did not hold says nothing of what was told of that closing.
    A doubt of a tool counts as a find: it came up after the card was written.
    """
    told = {one.group: one for one in timeline.history}
    closed = max((r.closing.entry for r in timeline.closings if r.closing is not None), default=0)
    finds = [f for f in proved if f.sure and (_premise_signs(run, f) or _stands_on_doubt(run, f))]
    facts = [fact for fact in finds if fact.id in told and run.since[fact] > max(closed, told[fact.id].entry)]
    found = (Overruled(told[fact.id].entry, fact.id, told[fact.id].answer, fact.answer) for fact in facts)
    return tuple(one for one in found if one.seen not in (one.told, *_answer(knowledge, one).covers))


def _answer(knowledge: Knowledge, one: Overruled) -> Answer:
    return knowledge.history[one.group].answers[one.told]


def _proved(timeline: Timeline, run: RuleRun) -> list[Fact]:
    """History facts that finds prove; where two finds disagree, neither, and none that rests on what is doubted.

    What was seen goes before what follows from something told.
    """
    facts = [f for f in run.derived if f.kind == "history" and timeline.shaken.isdisjoint(_relies(timeline, run, f))]
    seen = {f.id for f in facts if _premise_signs(run, f)}
    facts = [f for f in facts if f.id not in seen or _premise_signs(run, f)]
    return [f for f in facts if not any(g.id == f.id and g.answer != f.answer for g in facts)]


def _history(knowledge: Knowledge, timeline: Timeline, run: RuleRun) -> Iterable[HistoryEvidence]:
    proved = _proved(timeline, run)
    wrong = frozenset(one.group for one in _overruled(knowledge, timeline, run, proved))
    stands = {told.group for told in timeline.history} - wrong
    found = list(_told(knowledge, timeline, wrong))
    for fact in proved:
        if fact.id not in stands:
            spared = frozenset[str]().union(*(knowledge.shown_by.get(s, ()) for s in _premise_signs(run, fact)))
            evidence = answer_evidence(knowledge, run.since[fact], fact.id, fact.answer, spared)
            found.append(replace(evidence, draw=len(timeline.closings)))
    return sorted(found, key=lambda h: (h.group, h.draw, h.entry))


def _told(knowledge: Knowledge, timeline: Timeline, wrong: frozenset[str]) -> Iterable[HistoryEvidence]:
    """What was told. What comes with a closing is judged by what was told of that closing, all else by the last word.

    Of a closing speaks what was told after it, until the next, and what is so of the truck as it is built.
    ``wrong``: groups of which the last word was seen to be otherwise.
    """
    last_words = tuple(told for told in timeline.history if told.group not in wrong)
    spared = _spared(knowledge, timeline)
    if not timeline.closings:
        for told in last_words:
            yield answer_evidence(knowledge, told.entry, told.group, told.answer, spared.get(told.group, frozenset()))
        return
    draws: dict[HistoryAnswer, list[int]] = {}
    closings = [r.closing for r in timeline.closings if r.closing is not None]
    by_draw = [*(closing.history for closing in closings), last_words]
    for draw, answers in enumerate(by_draw):
        since = closings[draw - 1].entry if draw else 0
        for told in answers:
            if told.entry >= since or knowledge.history[told.group].fitted:
                draws.setdefault(told, []).append(draw)
    for told in {*draws, *last_words}:
        whole = answer_evidence(knowledge, told.entry, told.group, told.answer, spared.get(told.group, frozenset()))
        for draw in draws.get(told, []):
            yield _only_of(whole, knowledge.assembly, draw)
        if told in last_words:
            yield _only_of(whole, knowledge.causes.keys() - knowledge.assembly, 0)


def _spared(knowledge: Knowledge, timeline: Timeline) -> dict[str, frozenset[str]]:
    """History group -> causes of which raw readings say the same more finely: its answer is no second vote."""
    spared: dict[str, frozenset[str]] = {}
    for seen in timeline.answers:
        worked_out = knowledge.signs[seen.sign].worked_out
        for group in worked_out.instead_of if seen.worked and worked_out else ():
            spared[group] = spared.get(group, frozenset()) | knowledge.shown_by.get(seen.sign, frozenset())
    return spared


def _only_of(whole: HistoryEvidence, causes: Collection[str], draw: int) -> HistoryEvidence:
    shifts = {cause: decibans for cause, decibans in whole.decibans.items() if cause in causes}
    return replace(whole, decibans=shifts, impossible=tuple(c for c in whole.impossible if c in causes), draw=draw)


def _redraws(knowledge: Knowledge, timeline: Timeline, new_leak: Mapping[str, float]) -> tuple[Redraw, ...]:
    """One for each closing that the truck came back from."""
    drawn = tuple(c for c in knowledge.causes if c in knowledge.assembly)
    ways = [(r.epoch, knowledge.repairs[r.closing.repair].closes) for r in timeline.closings if r.closing is not None]
    return tuple(Redraw(epoch, drawn, new_leak[way]) for epoch, way in ways if way is not None) if drawn else ()


def _premise_signs(run: RuleRun, fact: Fact) -> set[str]:
    """Signs that a derived fact stands on, however far up."""
    found: set[str] = set()
    pending, seen = [fact], {fact}
    while pending:
        thing = pending.pop()
        for firing in run.firings:
            if thing in firing.facts:
                found.update(p.id for p in firing.premises if p.kind in ("sign", "reading"))
                new = [p for p in firing.premises if p not in seen]
                seen.update(new)
                pending.extend(new)
    return found


def _stands_on_doubt(run: RuleRun, fact: Fact) -> bool:
    return any(p.kind == "doubted" for firing in run.firings if fact in firing.facts for p in firing.premises)


def answer_evidence(
    knowledge: Knowledge, entry: int, group: str, answer: str, spared: frozenset[str] = frozenset()
) -> HistoryEvidence:
    """The shift of one answer; ``spared`` causes keep theirs, since the find that proved it spoke for them already.

    Where an answer shifts a cause and its family, the cause's own shift counts.
    """
    shifts = knowledge.history[group].answers[answer].shifts
    decibans: dict[str, float] = {}
    for whom in sorted(shifts, key=knowledge.causes.__contains__):
        for cause in knowledge.members(whom):
            if cause not in spared:
                decibans[cause] = knowledge.decibans(shifts[whom])
    impossible = tuple(c for c, cause in knowledge.causes.items() if answer not in cause.only_if.get(group, (answer,)))
    return HistoryEvidence(entry, group, decibans, impossible)


def _signs(knowledge: Knowledge, timeline: Timeline, run: RuleRun, expected: Expected) -> Iterable[SignEvidence]:
    measured = _by_sign_and_epoch(timeline.readings)
    for (sign, epoch), rows in measured.items():
        measure = knowledge.signs[sign].measure
        assert measure is not None, "the timeline lets only measured signs be read"
        readings = [row for row in rows if row.worked is not None] or rows
        values = [_read(measure, reading) for reading in readings]
        relies = [r.relies for r in readings]
        if any(relies):
            says, otherwise = doubted_readings(measure, values, relies, expected(sign))
            yield SignEvidence(readings[-1].entry, sign, epoch, says, otherwise)
        else:
            yield SignEvidence(readings[-1].entry, sign, epoch, measured_likelihood(measure, values))
    corrected = _corrected(knowledge, timeline)
    for seen in timeline.answers:
        if (seen.sign, seen.epoch) not in measured and seen not in corrected:
            outcomes = knowledge.signs[seen.sign].outcomes
            says = seen.worked.says if seen.worked else likelihood(outcomes, seen.answer, seen.sure)
            otherwise = doubted_answer(says, seen.relies, expected(seen.sign)) if seen.relies else ()
            yield SignEvidence(seen.entry, seen.sign, seen.epoch, says, otherwise)
    yield from _derived(knowledge, timeline, run, expected)


def _read(measure: Measure, reading: SignReading) -> Read:
    """A reading in the unit of its measure; one that was worked out has an error of its own."""
    value = reading.worked.value if reading.worked else None
    if value is not None:
        return Read(value.low, value.high, value.error)
    return exactly(measure, convert(reading.value, reading.unit, measure.unit))


def _corrected(knowledge: Knowledge, timeline: Timeline) -> set[SignAnswer]:
    """Answers to a condition sign that a later look corrects.

    A condition does not come and go by itself. Where nothing was done since that could have ended it, or
    renewed the part, a different answer later (a line seen only once it was clean) is a better look, not a
    second truth. What is doubted corrects nothing.
    """
    corrected = set()
    for earlier, later in pairwise(sorted(timeline.answers, key=lambda a: (a.sign, a.epoch))):
        if earlier.sign != later.sign or earlier.answer == later.answer or later.relies:
            continue
        sign = knowledge.signs[earlier.sign]
        between = [a for a in timeline.acts if a.starts is not None and earlier.epoch < a.starts <= later.epoch]
        renewed = any(earlier.sign in act.renews for act in between)
        ended = any(knowledge.shown_by.get(earlier.sign, frozenset()) & act.cures.keys() for act in between)
        gets_worse = sign.outcomes.index(later.answer) > sign.outcomes.index(earlier.answer)
        if sign.hangs_on == "present" and not sign.place and not renewed and (gets_worse or not ended):
            corrected.add(earlier)
    return corrected


def _derived(knowledge: Knowledge, timeline: Timeline, run: RuleRun, expected: Expected) -> Iterable[SignEvidence]:
    """Signs that rules derived, in the epoch of what they stood on; two rules that disagree say nothing."""
    direct = {a.sign for a in timeline.answers} | {r.sign for r in timeline.readings}
    facts = [fact for fact in run.derived if fact.kind == "sign" and fact.id not in direct]
    for fact in facts:
        if any(other.id == fact.id and other.answer != fact.answer for other in facts):
            continue
        entry = run.since[fact]
        relies = _relies(timeline, run, fact)
        # A doubt counts by its own chance, and not once more by making the find less than sure.
        is_sure = fact.sure or bool(relies and _all_given_as_sure(timeline, run, fact))
        says = likelihood(knowledge.signs[fact.id].outcomes, fact.answer, "sure" if is_sure else "fairly")
        epoch = max((a.starts for a in timeline.acts if a.starts is not None and a.entry < entry), default=0)
        otherwise = doubted_answer(says, relies, expected(fact.id)) if relies else ()
        yield SignEvidence(entry, fact.id, epoch, says, otherwise)


def _relies(timeline: Timeline, run: RuleRun, fact: Fact) -> tuple[str, ...]:
    """The doubts that bear on entries that a derived fact rests on."""
    return tuple(d.id for d in timeline.doubts if set(run.entries[fact]) & set(d.entries)) if timeline.doubts else ()


def _all_given_as_sure(timeline: Timeline, run: RuleRun, fact: Fact) -> bool:
    return not any(seen.sure == "fairly" and seen.entry in run.entries[fact] for seen in timeline.answers)


def likelihood(outcomes: Sequence[str], answer: str, sure: Sureness) -> tuple[float, ...]:
    """Likelihood of each outcome given that ``answer`` was written down."""
    other = FAIRLY_SURE_OTHER if sure == "fairly" else 0.0
    return tuple(1.0 if outcome == answer else other for outcome in outcomes)


def _by_sign_and_epoch(readings: Iterable[SignReading]) -> Mapping[tuple[str, int], list[SignReading]]:
    grouped: dict[tuple[str, int], list[SignReading]] = {}
    for reading in readings:
        grouped.setdefault((reading.sign, reading.epoch), []).append(reading)
    return grouped
