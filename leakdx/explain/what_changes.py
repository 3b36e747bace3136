"""What would change it, in words: which answers, not yet given or given otherwise, would unseat cause or repair."""

from collections.abc import Iterable, Sequence

from leakdx.case import Measurement, Reading
from leakdx.explain.page import USUAL, Page
from leakdx.explain.words import answered, counted, listed, minutes, path_name, percent
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.supposed import Change
from leakdx.reasoning.unseat import Choice, Unseating, Unseats

GROUPS_SHOWN = 6
EACH_SHOWN = 3


def what_changes_text(diagnosis: Diagnosis, found: Unseating, width: int = USUAL) -> str:
    """The leader and the repair, what would change each: looks still to be had first, then other answers."""
    case, knowledge = diagnosis.case, diagnosis.knowledge
    page = Page(width)
    page.title(" - ".join(part for part in (f"What would change it: {case.id}", case.unit) if part))
    leader, priced = diagnosis.causes[0], diagnosis.planner.priced
    page.head("Likeliest cause", f"{leader.name}, {percent(leader.leaking_first)}")
    _say(page, diagnosis, found.leader, leader.id)
    if priced.paths:
        best = priced.best_first()[0]
        actions = priced.paths[best].actions
        page.head("Repair", f"{path_name(knowledge, actions)}, holds with {percent(float(priced.hold[best]))}")
        _say(page, diagnosis, found.repair, actions)
    page.blank()
    page.say(_tried(found), indent=0)
    return page.text()


def _tried(found: Unseating) -> str:
    said = f"{counted(found.tried, 'truck')} like this one were diagnosed to say so, every single answer among them"
    if not found.pairs:
        return f"{said}."
    return f"{said}, and {found.pairs_tried} of {counted(found.pairs, 'pair')} of answers, the most promising first."


def _say(page: Page, diagnosis: Diagnosis, found: Sequence[Unseats], now: Choice) -> None:
    parts = (
        ("It would be another if it were found", [u for u in found if not u.is_otherwise]),
        ("or if what was answered were otherwise", [u for u in found if u.is_otherwise]),
    )
    if not found:
        page.say("No single answer would change that, neither one still to be had nor one that was given.")
    for head, some in parts:
        if some:
            page.say(f"{head}:")
            _groups(page, diagnosis, some, now)


def _groups(page: Page, diagnosis: Diagnosis, found: Sequence[Unseats], now: Choice) -> None:
    """What it would be then, once, with the answers that lead there, the cheapest first."""
    by_then: dict[Choice, list[Unseats]] = {}
    for one in found:
        by_then.setdefault(one.then, []).append(one)
    groups = sorted(by_then.items(), key=lambda group: (_only_adds(group[0], now), -len(group[1])))
    for then, some in groups[:GROUPS_SHOWN]:
        page.say(f"then {then_words(diagnosis.knowledge, then, now)}", "- ", indent=4)
        page.bullets((f"{_set(diagnosis, one)}" for one in some[:EACH_SHOWN]), indent=8, mark="")
        if some[EACH_SHOWN:]:
            page.say(f"and {counted(len(some) - EACH_SHOWN, 'answer')} more", indent=8)
    rest = sum(len(some) for _, some in groups[GROUPS_SHOWN:])
    if rest:
        page.say(f"and {counted(rest, 'answer')} more that would change it otherwise", "- ", indent=4)


def _only_adds(then: Choice, now: Choice) -> bool:
    """Whether today's repair stands, with something more."""
    return not isinstance(then, str) and not isinstance(now, str) and set(now) <= set(then)


def then_words(knowledge: Knowledge, then: Choice, now: Choice) -> str:
    """Another choice in words; a repair that shares something with today's by what it has more and less."""
    if isinstance(then, str):
        return knowledge.name(then)
    if isinstance(now, str) or not set(now) & set(then):
        return path_name(knowledge, then)
    more = [knowledge.name(action) for action in then if action not in now]
    less = [knowledge.name(action) for action in now if action not in then]
    said = [f"the same with {listed(more)}"] if more else []
    said += [f"{'without' if more else 'the same without'} {listed(less)}"] if less else []
    return " and ".join(said) or "the same in another order"


def _set(diagnosis: Diagnosis, one: Unseats) -> str:
    """ "breather: blocked (2-5 min, found with 6 %): leads with 91 %"."""
    said = " and ".join(change_words(diagnosis, change) for change in one.changed)
    took = [minutes(one.minutes)] if one.minutes[1] else []
    took += [] if one.likely is None else [f"found with {percent(one.likely)}"]
    what = "leads with" if isinstance(one.then, str) else "holds with"
    aside = f" ({', '.join(took)})" if took else ""
    return f"{said}{aside}: {what} {percent(one.chance)}"


def change_words(diagnosis: Diagnosis, change: Change) -> str:
    """One answer in words, with the entry that says otherwise."""
    if change.answer:
        said = answered(diagnosis.knowledge, change.id, change.answer)
        return f"{said} [entry {change.entry} says otherwise]" if change.entry else said
    return f"without entry {change.entry}: {_left_out(diagnosis, change.entry)}"


def _left_out(diagnosis: Diagnosis, number: int) -> str:
    entries: Iterable[object] = (entry for entry in diagnosis.case.log if entry.number == number)
    match next(iter(entries)):
        case Reading(sign=sign, value=value, unit=unit):
            return f"{diagnosis.knowledge.name(sign)} {value} {unit}"
        case Measurement(by=by):
            return f"readings for {by}"
        case _:
            return "what was measured"
