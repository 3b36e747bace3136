"""Why, as a tree of text: the whole answer in short, or one thing in it down to the entries of the log."""

from collections.abc import Callable, Iterator, Mapping

from leakdx.case import Case
from leakdx.clean import clean_line
from leakdx.errors import UsageError
from leakdx.explain.page import NARROWEST, USUAL
from leakdx.explain.reasons import FIT_WORDS, alike, bans_words, because
from leakdx.explain.tree import Branch, pruned, tree_text
from leakdx.explain.why_action import about_check, about_other, about_repair, about_rule, standing
from leakdx.explain.why_belief import (
    about_cause,
    about_family,
    about_history,
    about_leader,
    about_sign,
    about_zone,
)
from leakdx.explain.why_not import not_so_at_all, not_this_cause, not_this_check, not_this_repair, not_this_rule
from leakdx.explain.words import path_name
from leakdx.explain.work import DECISION_WORDS
from leakdx.knowledge.actions import Conclusion
from leakdx.knowledge.entry import (
    Entry,
)
from leakdx.knowledge.faults import nearest
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.knowledge.names import meant, nearest_id
from leakdx.reasoning.diagnosis import Diagnosis

_About = Callable[[Diagnosis, str], Branch]
SIDE_SHOWN = 3
_LONGEST_WORD = 60


def why_not_text(diagnosis: Diagnosis, thing: str, width: int = USUAL) -> str:
    """What stands against one thing, named as for ``why_text``, and what would have to be found for it.

    Raises:
        UsageError: Nothing of the knowledge is called so; the nearest name is suggested.
    """
    about, id = _find(diagnosis.knowledge, thing)
    return tree_text(_AGAINST.get(about, not_so_at_all)(diagnosis, id), max(width, NARROWEST))


def why_text(knowledge: Knowledge, case: Case, diagnosis: Diagnosis, thing: str | None, width: int = USUAL) -> str:
    """The reasons of the whole answer in short, or of one thing named by id or name.

    Raises:
        UsageError: Nothing of the knowledge is called so; the nearest name is suggested.
    """
    width = max(width, NARROWEST)
    if thing is None:
        return tree_text(_in_short(case, diagnosis), width)
    spoken = _SPOKEN.get(clean_line(thing).casefold())
    if spoken is not None:
        return tree_text(spoken(diagnosis), width)
    about, id = _find(knowledge, thing)
    return tree_text(about(diagnosis, id), width)


def _kinds(knowledge: Knowledge) -> Iterator[tuple[Mapping[str, Entry], _About]]:
    """What can be asked about; where a name is used twice, the earlier kind is meant."""
    yield knowledge.causes, about_cause
    yield knowledge.repairs, about_repair
    yield knowledge.checks, about_check
    yield knowledge.zones, about_zone
    yield knowledge.families, about_family
    yield knowledge.signs, about_sign
    yield knowledge.history, about_history
    yield knowledge.rules, about_rule
    for kind in (knowledge.findings, knowledge.acts, knowledge.openings, knowledge.cautions):
        yield kind, about_other


def _find(knowledge: Knowledge, thing: str) -> tuple[_About, str]:
    """The kind and id of what was typed. An id before any name: ids are one for the whole knowledge."""
    word = clean_line(thing)
    if word.casefold() in (NOT_LISTED, knowledge.words.not_listed.name.casefold()):
        return about_cause, NOT_LISTED
    for entries, about in _kinds(knowledge):
        if word in entries:
            return about, word
    for entries, about in _kinds(knowledge):
        id = meant(word, entries)
        if id is not None:
            return about, id
    raise UsageError(_unknown(knowledge, word))


def meant_thing(knowledge: Knowledge, thing: str) -> str:
    """The id of what was typed. Raises UsageError, with the nearest name."""
    return _find(knowledge, thing)[1]


def said_of(diagnosis: Diagnosis, thing: str) -> list[Conclusion] | None:
    """What rules say of fit to drive or of the holds; None for a thing that has an entry of its own."""
    word = clean_line(thing).casefold()
    return {"fit": _fit, "fit to drive": _fit, "hold": _holds, "holds": _holds}.get(word, lambda _: None)(diagnosis)


def _unknown(knowledge: Knowledge, word: str) -> str:
    near = [id for entries, _ in _kinds(knowledge) if (id := nearest_id(word, entries)) is not None]
    best = nearest(word.casefold(), near) or (near[0] if near else None)
    right = f"did you mean '{best}'?" if best else "name a cause, zone, sign, check, repair, rule or finding"
    return f"nothing here is called '{word[:_LONGEST_WORD]}'; {right}"


# -- the whole answer ------------------------------------------------------------------------------------


def _in_short(case: Case, diagnosis: Diagnosis) -> Branch:
    """The leader, what to do next and why, fit to drive, holds and what is barred, each with its nearest reasons."""
    knowledge = diagnosis.knowledge
    below = [about_leader(diagnosis, SIDE_SHOWN), _next_step(diagnosis)]
    below += [_short(diagnosis, one) for one in (*_fit(diagnosis), *_holds(diagnosis))]
    said = _said(diagnosis)
    for bans in alike(diagnosis.forbidden):
        one = next(one for one, rule in said if rule == bans[0].rule and one.forbid == bans[0].action)
        below.append(Branch(bans_words(knowledge, bans), _short(diagnosis, one).below))
    below.append(Branch(f'ask on: leakdx why CASE NAME, such as "{diagnosis.answers.causes[0].name}"'))
    return Branch(f"Why {case.id}{f', {case.unit}' if case.unit else ''}", tuple(below))


def _said(diagnosis: Diagnosis) -> dict[tuple[Conclusion, str], None]:
    """What rules say, each with its rule, once, in the order of their firing."""
    return dict.fromkeys((said, firing.rule) for firing in diagnosis.run.firings for said in firing.says)


def _fit(diagnosis: Diagnosis) -> list[Conclusion]:
    """What fit to drive stands on."""
    return [one for one, rule in _said(diagnosis) if one.fit and rule == diagnosis.fit_to_drive.by]


def _holds(diagnosis: Diagnosis) -> list[Conclusion]:
    """The holds that stand."""
    standing_holds = {(hold.text, hold.rule) for hold in diagnosis.holds}
    return [one for one, rule in _said(diagnosis) if (one.hold, rule) in standing_holds]


def _about_fit(diagnosis: Diagnosis) -> Branch:
    below = tuple(because(diagnosis, one) for one in _fit(diagnosis))
    return Branch(FIT_WORDS["not_judged"] if not below else "Fit to drive", below)


def _about_holds(diagnosis: Diagnosis) -> Branch:
    below = tuple(because(diagnosis, one) for one in _holds(diagnosis))
    return Branch("Holds" if below else "No hold stands", below)


def _short(diagnosis: Diagnosis, said: Conclusion) -> Branch:
    """What a rule says, the rule, and what it stands on; what that stands on in turn is left to be asked."""
    return pruned(because(diagnosis, said), 2)


def _next_step(diagnosis: Diagnosis) -> Branch:
    answers, knowledge = diagnosis.answers, diagnosis.knowledge
    check = [about_check(diagnosis, answers.next_check.id, SIDE_SHOWN)] if answers.next_check else []
    if answers.decision.do == "look_further":
        return Branch("Next check", tuple(check))
    below = [Branch(answers.decision.reason), *([Branch("first this check", tuple(check))] if check else [])]
    if answers.decision.do == "repair":
        path = answers.repairs[0]
        return Branch(f"Repair: {path_name(knowledge, path.actions)}", (*below, standing(diagnosis, path.actions[0])))
    below += [Branch(f"rule: {knowledge.name(rule)}") for rule in answers.decision.rules]
    return Branch(f"Decision: {DECISION_WORDS[answers.decision.do]}", tuple(below))


_AGAINST: Mapping[_About, _About] = {
    about_cause: not_this_cause,
    about_repair: not_this_repair,
    about_check: not_this_check,
    about_rule: not_this_rule,
}
"""What tells why -> what tells why not."""

_SPOKEN: Mapping[str, Callable[[Diagnosis], Branch]] = {
    "fit": _about_fit,
    "fit to drive": _about_fit,
    "hold": _about_holds,
    "holds": _about_holds,
    "next check": _next_step,
    "decision": _next_step,
}
"""Parts of the answer that have no entry of their own in the knowledge, by the words that head them."""
