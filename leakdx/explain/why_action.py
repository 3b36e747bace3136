"""Why a repair, a check, an act or a rule: what it stands on, what it costs, what it would change, as trees."""

from leakdx.explain.reasons import fired, not_so, quoted, rule_words, scope_words
from leakdx.explain.tree import Branch
from leakdx.explain.why_belief import about_ruled
from leakdx.explain.words import best_then, capital, hours, listed, minutes, money, outcome, path_name, percent, sure
from leakdx.knowledge.actions import Repair
from leakdx.knowledge.model import unmet
from leakdx.reasoning.answer import NextCheck
from leakdx.reasoning.barred_then import barred_then
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.next_check import spoken

CURED_SHOWN = 5
LIKELY_ENOUGH = 0.02


def about_repair(diagnosis: Diagnosis, repair: str) -> Branch:
    """Whether it is recommended and why, what rules say of it, what it cures, costs and needs."""
    knowledge = diagnosis.knowledge
    below = [standing(diagnosis, repair), *about_ruled(diagnosis, repair), _cured(diagnosis, repair)]
    below.append(_needs(diagnosis, knowledge.repairs[repair]))
    below.append(Branch(f"because: {knowledge.repairs[repair].reason}"))
    return Branch(capital(knowledge.name(repair)), tuple(below))


def standing(diagnosis: Diagnosis, repair: str) -> Branch:
    """The best path that it is in, with its cost beside the best of all."""
    plan, means = diagnosis.plan.priced, diagnosis.means
    if repair in means.barred:
        return Branch("not recommended: a rule bars it altogether")
    order = plan.best_first()
    with_it = [place for place in order if repair in plan.paths[place].actions]
    if not with_it:
        return Branch("not recommended: no likely cause asks for it")
    place, best = with_it[0], order[0]
    what = f"best path with it: {path_name(diagnosis.knowledge, plan.paths[place].actions)}"
    dearer = float(plan.cost[place] - plan.cost[best])
    stand = (
        "it is in the cheapest path in the long run"
        if place == best
        else f"{amount(diagnosis, dearer)} dearer than the cheapest"
    )
    return Branch(f"{what} - {stand}", _cost_parts(diagnosis, place))


def _cost_parts(diagnosis: Diagnosis, place: int) -> tuple[Branch, ...]:
    """What the expected cost of a path is made of; the parts add up."""
    plan, means, shop = diagnosis.plan.priced, diagnosis.means, diagnosis.shop
    path = plan.paths[place]
    span, wait = means.minutes(path, means.open_now), means.elapsed(path, means.open_now)
    work, waiting = sum(span) / 120, sum(wait) / 2
    comeback = (1 - float(plan.hold[place])) * shop.comeback_cost
    owed = float(plan.cost[place] - plan.own[place]) - comeback
    parts = float(plan.own[place]) - work * shop.labour_rate - (work + waiting) * shop.downtime_rate
    rows = (
        (f"labour, {minutes(span)}", work * shop.labour_rate),
        ("parts", parts),
        (f"the truck's time, waiting {hours(wait)}", (work + waiting) * shop.downtime_rate),
        ("what a comeback would cost, by its chance", comeback),
        ("what causes left behind would cost, by their chance", owed),
        ("expected cost", float(plan.cost[place])),
    )
    holds = Branch(f"holds: {sure(float(plan.hold[place]))}")
    return (holds, *(Branch(what, (), amount(diagnosis, cost)) for what, cost in rows))


def amount(diagnosis: Diagnosis, value: float) -> str:
    """Money of this shop in words."""
    return money(value, diagnosis.shop.currency)


def _cured(diagnosis: Diagnosis, repair: str) -> Branch:
    """The likely causes that it cures, as far as rules let it count, and how surely."""
    chances = diagnosis.means.cures.get(repair)
    cured = {} if chances is None else dict(zip(diagnosis.belief.causes, map(float, chances), strict=True))
    rows = [row for row in diagnosis.answers.causes if cured.get(row.id) and row.leaking >= LIKELY_ENOUGH]
    shown = [
        Branch(f"{row.name} ({percent(row.leaking)} that it leaks now)", (), percent(cured[row.id]))
        for row in rows[:CURED_SHOWN]
    ]
    return Branch(
        "of the likely causes it cures, and how surely" if shown else "it cures none of the likely causes", tuple(shown)
    )


def _needs(diagnosis: Diagnosis, repair: Repair) -> Branch:
    """Access, company and good results that it needs."""
    knowledge = diagnosis.knowledge
    needs = [f"{knowledge.openings[o].name}{' (open)' if o in diagnosis.timeline.open else ''}" for o in repair.access]
    needs += [f"together with {listed(map(knowledge.name, group), 'or')}" for group in repair.together_with]
    made = diagnosis.timeline.made
    needs += [f"first {quoted(knowledge, c)} ({'done' if made(knowledge, c) else 'open'})" for c in repair.first_hold]
    return Branch("needs" if needs else "needs nothing first", tuple(map(Branch, needs)))


def about_check(diagnosis: Diagnosis, check: str, most: int | None = None) -> Branch:
    """Whether it is worth its minutes now, what each result would change, and what rules say of it.

    ``most``: how many results are shown, the likeliest first; None: all.
    """
    knowledge = diagnosis.knowledge
    asked = next((a for a in diagnosis.plan.checks if a.check == check), None)
    if asked is None:
        below = [Branch(f"not offered now: {why_not_offered(diagnosis, check)}")]
    else:
        shown = spoken(diagnosis.planner, asked)
        nothing = percent(knowledge.no_answer(check))
        below = [Branch(worth(diagnosis, shown)), *_ahead_of(diagnosis, check), _changes(diagnosis, shown, most)]
        below.append(Branch("it tells nothing: nobody knows, or it cannot be got at or told (counted)", (), nothing))
    below += about_ruled(diagnosis, check)
    below.append(Branch(f"because: {knowledge.checks[check].reason}"))
    return Branch(f'"{knowledge.name(check)}": {knowledge.checks[check].question}', tuple(below))


def worth(diagnosis: Diagnosis, check: NextCheck) -> str:
    """What a check takes, and what it gains or costs beyond that."""
    value = amount(diagnosis, abs(check.net_value))
    floor = amount(diagnosis, diagnosis.planner.floor)
    opened = (
        f", with access to: {listed(diagnosis.knowledge.openings[o].name for o in check.opens)}" if check.opens else ""
    )
    time = f"{minutes(check.minutes)}{opened}"
    if diagnosis.next_check is not None and diagnosis.next_check.id == check.id:
        return f"the next check: it takes {time}, and gains {value} more than it costs"
    if check.net_value <= 0:
        return f"not worth it now: it takes {time}, and costs {value} more than it gains"
    return f"it takes {time}, and gains {value} more than it costs (asked for from {floor} on)"


def _ahead_of(diagnosis: Diagnosis, check: str) -> list[Branch]:
    """What would come first otherwise; only of the check that was chosen for its worth."""
    chosen = diagnosis.next_check
    if chosen is None or chosen.id != check or chosen.runner_up is None:
        return []
    second = chosen.runner_up
    more = f"{amount(diagnosis, second.dearer)} more" if second.dearer >= 1 else "as much"
    return [Branch(f'"{diagnosis.knowledge.name(second.id)}" first would cost {more} in the long run')]


def _changes(diagnosis: Diagnosis, check: NextCheck, most: int | None) -> Branch:
    knowledge = diagnosis.knowledge
    below = []
    for found in check.outcomes[:most]:
        leads = f"leads to: {knowledge.name(found.leader)}, {percent(found.leader_probability)}"
        then = best_then(knowledge, found, barred_then(diagnosis, found))
        said = outcome(knowledge, found.answers)
        below.append(Branch(said, (Branch(leads), Branch(then)), percent(found.probability)))
    rest = check.outcomes[len(below) :]
    if rest:
        below.append(Branch(f"and {len(rest)} more", (), percent(sum(found.probability for found in rest))))
    return Branch("what each result would change", tuple(below))


def why_not_offered(diagnosis: Diagnosis, check: str) -> str:
    """The first reason that stands against making a check now."""
    knowledge, offer, now = diagnosis.knowledge, diagnosis.offer, diagnosis.timeline
    entry = knowledge.checks[check]
    bans = [ban for ban in diagnosis.forbidden if ban.action in (check, *entry.access) and ban.action in offer.barred]
    if bans:
        ban = bans[0]
        return f"{scope_words(knowledge, ban.action, ban.scope, ban.of, ban.other)}. {ban.say}"
    wrong = unmet(entry.only_if, diagnosis.history)
    if wrong:
        return f"it does not fit this truck ({knowledge.name(wrong[0])})"
    if not offer.allows(check):
        return "the state of the truck does not allow it (it is not fit to be driven, or a part is barred)"
    if now.made(knowledge, check):
        return "it was made, and nothing since has changed what it would show"
    if any(id in now.out_of_reach for id in entry.reveals):
        return "it could not be reached, and nothing was opened since"
    if any(id in now.spoiled for id in entry.reveals):
        return "what it looks at can no longer be seen as found"
    return "what it shows can tell hardly anything between the causes that are left"


def about_rule(diagnosis: Diagnosis, rule: str) -> Branch:
    """A rule: what it stood on and said; or which conditions it misses."""
    knowledge = diagnosis.knowledge
    firings = [fired(diagnosis, firing) for firing in diagnosis.run.firings if firing.rule == rule]
    nearest = None if firings else not_so(diagnosis, rule)
    below = firings or [Branch("it does not hold", nearest.below if nearest else ())]
    return Branch(capital(rule_words(knowledge, rule)), tuple(below))


def about_other(diagnosis: Diagnosis, id: str) -> Branch:
    """A finding, an act, an opening or a caution: what rules made of it."""
    knowledge = diagnosis.knowledge
    name = knowledge.cautions[id].text if id in knowledge.cautions else knowledge.name(id)
    done = [Branch("done already")] if diagnosis.timeline.is_done(knowledge, id) else []
    ruled = about_ruled(diagnosis, id)
    if len(ruled) == 1 and ruled[0].text == name:
        ruled = list(ruled[0].below)
    return Branch(capital(name), (*done, *ruled) or (Branch("no rule speaks of it"),))
