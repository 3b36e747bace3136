"""What to do: the decision, the next check as one block, the repair paths, what rules bar and demand, and the job."""

from datetime import timedelta
from itertools import pairwise

from leakdx.explain.cautions import Cautions
from leakdx.explain.job import access_time, job_cautions, print_job, say_cautions
from leakdx.explain.page import Page
from leakdx.explain.paths import PathCard, barred_words, path_cards
from leakdx.explain.words import (
    best_then,
    listed,
    minutes,
    money,
    outcome,
    percent,
)
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import NextCheck
from leakdx.reasoning.barred_then import barred_then
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.next_check import spoken

DECISION_WORDS = {
    "look_further": "look further before repairing",
    "repair": "repair",
    "release_and_recheck": "nothing to repair now: release it with a recheck date",
    "stop_and_ask": "stop and ask the axle maker",
}
OUTCOMES_SHOWN = 4
OTHERS_SHOWN = 3
SPOILS_SHOWN = 4


def decision_and_work(page: Page, diagnosis: Diagnosis) -> None:
    """From the decision to the last "never"."""
    answers, said = diagnosis.answers, Cautions(diagnosis.knowledge)
    if answers.decision.do != "look_further" or answers.next_check is None:
        _decision(page, diagnosis)
    if answers.next_check is not None:
        _check(page, diagnosis, answers.next_check, said)
        _other_checks(page, diagnosis)
    _paths(page, diagnosis)
    _orders(page, diagnosis)
    job = answers.repairs[0] if answers.decision.do == "repair" and answers.repairs else None
    _care(page, diagnosis, said.said | (job_cautions(diagnosis, job) if job else set()))
    if job:
        print_job(page, diagnosis, job, said)


def recheck_by(diagnosis: Diagnosis) -> str:
    """The shop's recheck date, counted from the last dated entry; in days where nothing is dated."""
    days = diagnosis.shop.recheck_days
    dated = [entry.at for entry in diagnosis.case.log if entry.at is not None]
    return f"by {max(dated).date() + timedelta(days)}" if dated else f"within {days} days"


def date_words(diagnosis: Diagnosis) -> str:
    """When a look that is made again later is due, and who is told."""
    return f"{recheck_by(diagnosis)}, in the driver's hand before it leaves."


def spoils_words(knowledge: Knowledge, check: NextCheck) -> str:
    """What a check spoils, the first few by name."""
    shown = "; ".join(map(knowledge.name, check.spoils[:SPOILS_SHOWN]))
    more = f"; and {len(check.spoils) - SPOILS_SHOWN} more" if len(check.spoils) > SPOILS_SHOWN else ""
    return f"{shown}{more}. Seen as found only before it."


def done_words(diagnosis: Diagnosis, check: NextCheck) -> str:
    """What the check needs and was brought about before, so that nobody does it again; empty where that is nothing."""
    entry, openings = diagnosis.knowledge.checks[check.id], diagnosis.knowledge.openings
    done = [openings[o].name for o in entry.access if o in diagnosis.timeline.open and o not in check.opens]
    return f"{'; '.join(done)}. That part of the steps is not made again." if done and not entry.looks_again else ""


def _decision(page: Page, diagnosis: Diagnosis) -> None:
    """Repair, release or stop, with the reason and the rules behind it."""
    decision = diagnosis.answers.decision
    page.head("Decision", DECISION_WORDS[decision.do])
    first = " First the check below." if diagnosis.answers.next_check is not None else ""
    page.say(f"{decision.reason}{first}")
    if decision.do == "release_and_recheck":
        page.say(f"look at the same places in the same order {recheck_by(diagnosis)}; read the level.", "Recheck: ")
    page.bullets(f"rule: {diagnosis.knowledge.name(rule)}" for rule in decision.rules)


# -- the next check --------------------------------------------------------------------------------------


def _check(page: Page, diagnosis: Diagnosis, check: NextCheck, said: Cautions) -> None:
    """Question, why now, how with its cautions, tools, minutes and access, what it spoils, what it would change."""
    knowledge = diagnosis.knowledge
    page.head("Next check", f"{check.name} - {minutes(check.minutes)}")
    page.say(check.question)
    page.say(_why_now(diagnosis, check), "Why now: ")
    if knowledge.checks[check.id].looks_again:
        page.say(date_words(diagnosis), "Date: ")
    if check.tools:
        page.say(", ".join(check.tools), "Tools: ")
    if done := done_words(diagnosis, check):
        page.say(done, "Done already: ")
    for id in check.opens:
        opening = knowledge.openings[id]
        page.say(f"{opening.name} ({access_time(opening)})", "First: ")
        say_cautions(page, said, opening.cautions, 4)
    say_cautions(page, said, knowledge.checks[check.id].cautions, 2)
    for number, step in enumerate(check.how, start=1):
        page.say(step, f"{number}. ")
    if check.spoils:
        page.say(spoils_words(knowledge, check), "Spoils: ")
    _outcomes(page, diagnosis, check)


def _why_now(diagnosis: Diagnosis, check: NextCheck) -> str:
    """What it settles; for a check that a hold or the repair asks for, that."""
    gain = money(check.net_value, diagnosis.shop.currency)
    asked = next((asked for asked in diagnosis.plan.checks if asked.check == check.id), None)
    if asked is None or spoken(diagnosis.planner, asked).why != check.why:
        return check.why
    worth = f"it takes about {gain} more off the likely cost than it costs" if check.net_value > 0 else "it is due"
    choices = {found.repair if found.decides else found.then for found in check.outcomes}
    if len(choices) > 1:
        return f"its answer decides between {len(choices)} different ways to go on, and {worth}."
    return f"its answer changes how sure we can be of the repair, and {worth}."


def _outcomes(page: Page, diagnosis: Diagnosis, check: NextCheck) -> None:
    """What each answer would change; the far-fetched ones only counted."""
    knowledge = diagnosis.knowledge
    if not check.outcomes:
        return
    page.say("What each answer would change:")
    for found in check.outcomes[:OUTCOMES_SHOWN]:
        page.figure(outcome(knowledge, found.answers), percent(found.probability), "- ", indent=4)
        leader = f"{knowledge.name(found.leader)} {percent(found.leader_probability)}"
        page.say(f"leads to: {leader}; {best_then(knowledge, found, barred_then(diagnosis, found))}", indent=6)
    rest = check.outcomes[OUTCOMES_SHOWN:]
    if rest:
        chance = percent(sum(found.probability for found in rest))
        page.say(f'and {len(rest)} more, together {chance}: leakdx why CASE "{check.name}"', indent=4)


def _other_checks(page: Page, diagnosis: Diagnosis) -> None:
    others = diagnosis.answers.other_checks
    if others:
        said = [f"{check.name} ({minutes(check.minutes)})" for check in others[:OTHERS_SHOWN]]
        more = f"; and {len(others) - OTHERS_SHOWN} more" if len(others) > OTHERS_SHOWN else ""
        page.say(f"{'; '.join(said)}{more}.", "Also worth it: ")


# -- repair paths ----------------------------------------------------------------------------------------


def _paths(page: Page, diagnosis: Diagnosis) -> None:
    """Up to three best paths: chance to hold, hands-on time, waiting, expected cost, and what is left unfixed."""
    answers = diagnosis.answers
    if not answers.repairs:
        return
    looking = answers.decision.do == "look_further"
    cheapest = all(one.expected_cost <= two.expected_cost for one, two in pairwise(answers.repairs))
    order = "cheapest in the long run first" + ("" if cheapest else ", what hardly cures last")
    page.head("Repairs", f"if it had to be decided now; {order}" if looking else order)
    for card in path_cards(diagnosis):
        _path(page, card)
    page.say("Expected cost: labour, parts, the truck's time, and what a comeback and a leak left behind would cost.")


def _path(page: Page, card: PathCard) -> None:
    page.figure(card.name, f"expected {card.cost}", f"{card.letter}. ")
    work = f"; hands-on {card.minutes}" if card.minutes else ""
    waiting = f"; waiting {card.waiting}" if card.waiting else ""
    page.say(f"holds: {card.holds}{work}{waiting}", indent=5)
    page.say(card.leaves, indent=5)


# -- orders of rules -------------------------------------------------------------------------------------


def _orders(page: Page, diagnosis: Diagnosis) -> None:
    """What rules forbid, demand and want put right, each with its rule."""
    knowledge, answers = diagnosis.knowledge, diagnosis.answers
    if answers.forbidden:
        page.head("Barred by rule")
    page.bullets(barred_words(diagnosis))
    for head, orders in (("In every repair", answers.required), ("Put right while it is open", answers.put_right)):
        if orders:
            page.head(head)
            page.bullets(f"{knowledge.name(s.id)}. {s.text} (rule: {knowledge.name(s.rule)})" for s in orders)


def _care(page: Page, diagnosis: Diagnosis, at_steps: set[str]) -> None:
    """Cautions that rules give for the state of this truck; those that stand at a step of this page only named."""
    cautions = diagnosis.answers.cautions
    if not cautions:
        return
    page.head("Take care")
    page.bullets(c.text for c in cautions if c.id not in at_steps)
    named = [diagnosis.knowledge.cautions[c.id].name for c in cautions if c.id in at_steps]
    if named:
        page.say(f"at its step on this sheet: {listed(named)}", "- ")
