"""Why not: what stands against a cause, a check, a repair or a rule, and what would have to be found for it."""

from collections.abc import Iterable, Sequence

from msgspec import structs

from leakdx.explain.reasons import not_so
from leakdx.explain.tree import Branch
from leakdx.explain.what_changes import change_words
from leakdx.explain.why_action import about_rule, amount, standing, why_not_offered, worth
from leakdx.explain.why_belief import about_ruled, apart_from_rival, how_sure, moved_by, row_of, start_of, weight_line
from leakdx.explain.words import minutes, path_name, percent
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.next_check import spoken
from leakdx.reasoning.supposed import Change, changes, span, tried

AGAINST_SHOWN = 6
FOR_SHOWN = 5
SPEAKS = 1.0
"""Decibans from which a look not made yet is named as one that would speak for a cause."""


def not_this_cause(diagnosis: Diagnosis, cause: str) -> Branch:
    """What stands against it, and what would speak for it."""
    against = stands_against(diagnosis, cause)
    if cause == diagnosis.causes[0].id:
        return against
    return structs.replace(against, below=(*against.below, _would_speak(diagnosis, cause)))


def stands_against(diagnosis: Diagnosis, cause: str) -> Branch:
    """What rules it out or what such a rule misses, what spoke against it, and what tells it from the leader."""
    row = row_of(diagnosis, cause)
    below = [Branch(how_sure(row))]
    if cause == diagnosis.causes[0].id:
        return Branch(f"Why not {row.name}", (*below, Branch("it is what leads; ask why, not why not")))
    out = [fact for fact in diagnosis.run.facts if fact.kind == "excluded" and fact.id == cause]
    below += [branch for branch in about_ruled(diagnosis, cause) if out]
    below.append(Branch(start_of(diagnosis, cause)))
    against = sorted((m for m in moved_by(diagnosis, cause) if m[0] < 0), key=lambda m: m[0])
    shown = tuple(weight_line(diagnosis, *m) for m in against[:AGAINST_SHOWN])
    below.append(Branch("what spoke against it" if shown else "no answer spoke against it", shown))
    below += apart_from_rival(diagnosis, row)
    return Branch(f"Why not {row.name}", tuple(below))


def _would_speak(diagnosis: Diagnosis, cause: str) -> Branch:
    """The looks still to be had that would raise it most, each tried, with where it would stand then."""
    before = decibans(row_of(diagnosis, cause).leaking_first)
    found = []
    singles = ((change,) for change in _of_cause(diagnosis.knowledge, cause, changes(diagnosis)))
    for (change,), made in tried(diagnosis, singles):
        row = row_of(made, cause)
        if decibans(row.leaking_first) - before >= SPEAKS:
            found.append((decibans(row.leaking_first) - before, change, row.leaking_first, made.causes[0].id == cause))
    found.sort(key=lambda one: (-one[0], one[1]))
    shown = []
    for gained, change, chance, leads in found[:FOR_SHOWN]:
        said = f"{_how(diagnosis, change)}: {percent(chance)}{', and it would lead' if leads else ''}"
        shown.append(Branch(said, (), f"{gained:+.1f} dB"))
    head = "what would speak for it" if shown else "nothing that can be looked at now would speak for it"
    return Branch(head, tuple(shown))


def _of_cause(knowledge: Knowledge, cause: str, all_changes: Iterable[Change]) -> Sequence[Change]:
    """Looks not made yet at what the cause shows, where it lets oil out, and what makes it likelier."""
    entry = knowledge.causes.get(cause)
    if entry is None:
        return ()
    zones = {entry.zone, *entry.also_zones}
    shows = {*entry.shows, *entry.looks}
    shifting = {
        (group, answer)
        for group, said in knowledge.history.items()
        for answer, told in said.answers.items()
        if any(cause in knowledge.members(whom) for whom in told.shifts)
    }

    def speaks(change: Change) -> bool:
        sign = knowledge.signs.get(change.id)
        at_zone = sign is not None and bool(sign.place) and not zones.isdisjoint(sign.place[1:])
        return change.id in shows or at_zone or (change.id, change.answer) in shifting

    return [change for change in all_changes if not change.entry and speaks(change)]


def _how(diagnosis: Diagnosis, change: Change) -> str:
    return f"{change_words(diagnosis, change)} ({minutes(span(diagnosis, (change,)))})"


def not_this_check(diagnosis: Diagnosis, check: str) -> Branch:
    """Why it is not asked now, and what the check that is asked gains more."""
    knowledge, chosen = diagnosis.knowledge, diagnosis.next_check
    name = f'Why not "{knowledge.name(check)}"'
    if chosen is not None and chosen.id == check:
        return Branch(name, (Branch("it is the next check; ask why, not why not"),))
    asked = next((a for a in diagnosis.plan.checks if a.check == check), None)
    if asked is None:
        below = [Branch(f"not offered now: {why_not_offered(diagnosis, check)}")]
    else:
        below = [Branch(worth(diagnosis, spoken(diagnosis.planner, asked)))]
    if chosen is not None and asked is not None:
        more = chosen.net_value - asked.net_value
        gained = f"it gains {amount(diagnosis, more)} more, its own cost taken off. " if more > 0 else ""
        below.append(Branch(f'"{chosen.name}" comes first: {gained}{chosen.why}'))
    return Branch(name, (*below, *about_ruled(diagnosis, check)))


def not_this_repair(diagnosis: Diagnosis, repair: str) -> Branch:
    """What bars it, and how its best path stands beside the cheapest: dearer, and holding how much less."""
    knowledge, plan = diagnosis.knowledge, diagnosis.planner.priced
    name = f"Why not {knowledge.name(repair)}"
    if not plan.paths:
        return Branch(name, (standing(diagnosis, repair), *about_ruled(diagnosis, repair)))
    best, *_ = order = plan.best_first()
    below = [standing(diagnosis, repair)]
    if repair in plan.paths[best].actions:
        below.insert(0, Branch("it is in the repair that is recommended; ask why, not why not"))
    else:
        chosen = path_name(knowledge, plan.paths[best].actions)
        below.append(Branch(f"recommended: {chosen}, holds with {percent(float(plan.hold[best]))}"))
        below += [_unneeded(diagnosis, repair)] if not any(repair in plan.paths[i].actions for i in order) else []
    return Branch(name, (*below, *about_ruled(diagnosis, repair)))


def _unneeded(diagnosis: Diagnosis, repair: str) -> Branch:
    """The causes that would ask for it, with their chance."""
    knowledge = diagnosis.knowledge
    cures = {cause for whom in knowledge.repairs[repair].cures for cause in knowledge.members(whom)}
    rows = [row for row in diagnosis.causes if row.id in cures][:FOR_SHOWN]
    return Branch("it would be asked for by", tuple(Branch(row.name, (), percent(row.leaking)) for row in rows))


def not_this_rule(diagnosis: Diagnosis, rule: str) -> Branch:
    """What it misses; or that it holds."""
    return about_rule(diagnosis, rule)


def not_so_at_all(diagnosis: Diagnosis, id: str) -> Branch:
    """Of all else: whether it is so, or what the rule that came nearest misses."""
    knowledge = diagnosis.knowledge
    so = [fact for fact in diagnosis.run.facts if isinstance(fact, Fact) and fact.id == id]
    nearest = not_so(diagnosis, id)
    if so:
        below = tuple(about_ruled(diagnosis, id))
    else:
        below = (nearest,) if nearest else (Branch("no rule would conclude it; it is looked at or told"),)
    return Branch(f"Why not {knowledge.name(id)}", below)
