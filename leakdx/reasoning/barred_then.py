"""What rules would say against the repair that the plan has ready for a result of a check.

The plan weighs results by the rules of the moment. A result may set off rules of its own (a face beyond its limit takes
no gasket), and nobody is to be told to repair against them.
"""

from leakdx.reasoning.answer import Forbidden, Outcome
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.facts import BEYOND, WITHIN, Fact
from leakdx.reasoning.orders import Orders
from leakdx.reasoning.rules import run_rules

_OF_LOOKS = ("sign", "reading")


def barred_then(made: Diagnosis, found: Outcome) -> str:
    """The first thing that rules would say against it after this result; empty where they would say nothing."""
    if not found.decides or not found.repair:
        return ""
    given = {fact: entries for fact, entries in made.run.given.items() if not _is_overtaken(fact, found)}
    given |= {_fact(made, sign, answer): () for sign, answer in found.answers.items()}
    run = run_rules(made.knowledge, {fact: given[fact] for fact in sorted(given)})
    bans = Orders(made.knowledge, made.timeline, run, made.history).forbidden()
    return next((ban.say for ban in bans if ban not in made.forbidden and _stands_against(ban, found.repair)), "")


def _is_overtaken(fact: Fact, found: Outcome) -> bool:
    return fact.kind in _OF_LOOKS and fact.id in found.answers


def _fact(made: Diagnosis, sign: str, answer: str) -> Fact:
    entry = made.knowledge.signs[sign]
    if entry.measure is None:
        return Fact("sign", sign, answer)
    return Fact("reading", sign, WITHIN if answer == entry.outcomes[0] else BEYOND)


def _stands_against(ban: Forbidden, actions: tuple[str, ...]) -> bool:
    """Whether it bars these repairs together; what has to come before is no bar to planning them."""
    if ban.action not in actions:
        return False
    return ban.scope == "not at all" or (ban.scope == "unless together with" and set(ban.other).isdisjoint(actions))
