"""Facts, conditions and conclusions of rules in words, and the reasons of a thing as a tree down to the log."""

from collections.abc import Iterable, Sequence

from leakdx.explain.tree import Branch
from leakdx.explain.words import answer_name, capital, listed
from leakdx.knowledge.actions import Conclusion, Condition
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import Forbidden
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.facts import ANYWHERE, BOTH_SIDES, CLOSE, Fact, Kind, subject
from leakdx.reasoning.justification import Thing, Why, why, why_not
from leakdx.reasoning.rules import Firing

FIT_WORDS = {
    "yes": "fit to drive",
    "recheck": "fit to drive only with a recheck",
    "no": "not fit to drive",
    "not_judged": "fit to drive: not judged yet",
}
SCOPE_WORDS = {
    "not at all": "not at all",
    "not before": "not before:",
    "not as the cure": "does not count as the cure",
    "unless together with": "only together with:",
}
"""What a scope means, the strictest first."""

_KIND_WORDS: dict[Kind, str] = {
    "arc": "positions given: ",
    "act": "done: ",
    "open": "open now: ",
    "complaint": "came in wet at: ",
    "doubted": "doubted: ",
    "returned": "came back in this log: ",
    "established": "proved: ",
    "excluded": "ruled out: ",
}
_ABSENT_WORDS: dict[Kind, str] = {
    "finding": "not so: ",
    "act": "not done: ",
    "open": "not open: ",
    "doubted": "not doubted: ",
    "returned": "did not come back in this log: ",
    "established": "not proved: ",
    "excluded": "not ruled out: ",
}
_ABSENT = "not so, or not known: "


def fact_words(knowledge: Knowledge, fact: Fact) -> str:
    """A fact in words."""
    said = _about(knowledge, fact.kind, fact.id, (fact.answer,))
    return _KIND_WORDS.get(fact.kind, "") + said + ("" if fact.sure else " (fairly sure)")


def condition_words(knowledge: Knowledge, condition: Condition) -> str:
    """A condition in words, absent or not."""
    kind, ids = subject(condition)
    said = listed((_about(knowledge, kind, id, condition.is_) for id in ids), "or")
    said += " (surely)" if condition.surely else ""
    return (_ABSENT_WORDS.get(kind, _ABSENT) if condition.absent else _KIND_WORDS.get(kind, "")) + said


def _about(knowledge: Knowledge, kind: Kind, id: str, answers: Iterable[str]) -> str:
    if kind == "complaint" and id == ANYWHERE:
        return "any place"
    name = knowledge.openings[id].name if kind == "open" else knowledge.name(id)
    if kind in ("sign", "history"):
        return f"{name}: {listed((answer_name(knowledge, id, a) for a in answers), 'or') or 'answered'}"
    if kind == "reading":
        return f"{name}: measured {listed((_verdict(a) for a in answers), 'or')}"
    return name


def _verdict(answer: str) -> str:
    said = {CLOSE: "too close to its limit to say", BOTH_SIDES: "on both sides of its limit"}
    return said.get(answer, f"{answer} its limit")


def conclusion_words(knowledge: Knowledge, said: Conclusion) -> str:
    """What a rule tells people, in words."""
    if said.forbid is not None:
        return f"{scope_words(knowledge, said.forbid, said.scope or '', said.of, said.other)}. {said.say or ''}"
    if said.hold is not None:
        return f"hold: {said.hold}"
    if said.fit is not None:
        return f"{FIT_WORDS[said.fit]}: {said.say or ''}"
    for head, id in (("in every repair", said.require), ("to put right", said.put_right), ("take care", said.caution)):
        if id is not None:
            name = knowledge.cautions[id].name if id in knowledge.cautions else knowledge.name(id)
            return f"{head}: {name}. {said.say or ''}".rstrip(". ")
    return ""


def scope_words(knowledge: Knowledge, action: str, scope: str, of: Iterable[str], other: Iterable[str]) -> str:
    """How far an action is barred: "Reseal with sealant - not before: Clear the breather"."""
    causes, others = listed(map(knowledge.name, of)), listed(quoted(knowledge, id) for id in other)
    tail = (f" of {causes}" if causes else "") + (f" {others}" if others else "")
    return f"{quoted(knowledge, action)} - {SCOPE_WORDS.get(scope, scope)}{tail}"


def alike(bans: Iterable[Forbidden]) -> list[list[Forbidden]]:
    """Prohibitions that differ in the action only, together; the strictest scope first."""
    grouped: dict[tuple[str, ...], list[Forbidden]] = {}
    for ban in sorted(bans, key=lambda ban: list(SCOPE_WORDS).index(ban.scope)):
        grouped.setdefault((ban.rule, ban.scope, ban.say, *ban.of, *ban.other), []).append(ban)
    return list(grouped.values())


def bans_words(knowledge: Knowledge, bans: Sequence[Forbidden]) -> str:
    """Prohibitions that are alike in words: which actions, how far, and what the rule says."""
    first = [capital(quoted(knowledge, ban.action)) for ban in bans[:-1]]
    last = capital(scope_words(knowledge, bans[-1].action, bans[-1].scope, bans[-1].of, bans[-1].other))
    return f"{'; '.join((*first, last))}. {bans[0].say}"


def quoted(knowledge: Knowledge, id: str) -> str:
    """A name as it stands in a sentence: that of a check is a phrase, so it stands in quotes."""
    return f'"{knowledge.name(id)}"' if id in knowledge.checks else knowledge.name(id)


# -- trees -----------------------------------------------------------------------------------------------


def entry_words(diagnosis: Diagnosis, number: int) -> str:
    """Which entry of the log, by whom, when, and what was noted beside it."""
    entry = next((e for e in diagnosis.case.log if e.number == number), None)
    if entry is None:
        return "by the axle family"
    said = [f"entry {number}", entry.who, *([f"{entry.at:%Y-%m-%d %H:%M}"] if entry.at else [])]
    return ", ".join(said) + (f', "{entry.note}"' if entry.note else "")


def because(diagnosis: Diagnosis, thing: Thing) -> Branch:
    """The reasons of a thing that is so, down to entries of the log. Raises KeyError if it is not so."""
    return _why(diagnosis, why(diagnosis.justification, diagnosis.run, thing))


def _why(diagnosis: Diagnosis, found: Why) -> Branch:
    knowledge = diagnosis.knowledge
    if isinstance(found.thing, Fact):
        words = fact_words(knowledge, found.thing)
        entries = "; ".join(f"{entry_words(diagnosis, n)}{_typed(diagnosis, found.thing, n)}" for n in found.entries)
        words += f" [{entries}]" if entries else ""
    else:
        words = conclusion_words(knowledge, found.thing)
    below = []
    for reason in found.because:
        premises = [_why(diagnosis, premise) for premise in reason.premises]
        absent = [Branch(condition_words(knowledge, condition)) for condition in reason.absent]
        below.append(Branch(rule_words(knowledge, reason.rule), (*premises, *absent)))
    return Branch(words, tuple(below))


def _typed(diagnosis: Diagnosis, fact: Fact, number: int) -> str:
    """What was typed, where a fact is the verdict on a reading."""
    rows = [r for r in diagnosis.timeline.readings if fact.kind == "reading" and r.entry == number]
    return f": {rows[0].value} {rows[0].unit}" if rows else ""


def rule_words(knowledge: Knowledge, rule: str) -> str:
    """A rule by its name and its reason."""
    return f"rule: {knowledge.name(rule)} - {knowledge.rules[rule].reason}"


def fired(diagnosis: Diagnosis, firing: Firing) -> Branch:
    """A rule that fired: what it stood on and what it concluded."""
    knowledge = diagnosis.knowledge
    stood = [because(diagnosis, premise) for premise in firing.premises]
    stood += [Branch(condition_words(knowledge, condition)) for condition in firing.absent]
    then = [Branch(fact_words(knowledge, fact)) for fact in firing.facts]
    then += [Branch(conclusion_words(knowledge, said)) for said in firing.says]
    return Branch("it holds", (Branch("stands on", tuple(stood)), Branch("says", tuple(then))))


def not_so(diagnosis: Diagnosis, of: str) -> Branch | None:
    """The rule that came nearest to concluding a thing, with what it misses; None where no rule would."""
    knowledge = diagnosis.knowledge
    nearest = why_not(knowledge, diagnosis.run.facts, of)
    if nearest is None:
        return None
    missing = [Branch(f"missing: {condition_words(knowledge, c)}{_was(diagnosis, c)}") for c in nearest.missing]
    in_the_way = [Branch(f"in the way: {fact_words(knowledge, fact)}") for fact in nearest.in_the_way]
    return Branch(f"nearest {rule_words(knowledge, nearest.rule)}", (*missing, *in_the_way))


def _was(diagnosis: Diagnosis, missing: Condition) -> str:
    """Where the log does say what is missing: that it was answered less surely, or that it is so no longer."""
    kind, ids = subject(missing)
    if kind != "sign" or missing.absent:
        return ""
    seen = [s for s in diagnosis.answers.observations if s.id in ids and s.answer in missing.is_ and s.entry]
    if not seen:
        return ""
    last = seen[-1]
    return f" - entry {last.entry} says so, {'not surely' if last.sure == 'fairly' else 'and it is so no longer'}"
