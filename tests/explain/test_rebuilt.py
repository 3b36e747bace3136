"""Explanations are true: whatever is explained follows from the leaves of its own explanation, and from no fewer."""

import math
import re
from collections.abc import Iterator

import pytest

from leakdx.explain.why import why_text
from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.facts import Fact, Given
from leakdx.reasoning.justification import Thing, Why, why
from leakdx.reasoning.next_check import spoken
from leakdx.reasoning.rules import run_rules
from tests.explain.test_why import flat_tree
from tests.shipped import NAMES, diagnosis, knowledge


def leaves(found: Why) -> Iterator[Fact]:
    """What an explanation rests on in the end: facts of the log."""
    if isinstance(found.thing, Fact) and not found.because:
        yield found.thing
    for reason in found.because:
        for premise in reason.premises:
            yield from leaves(premise)


def follows(thing: Thing, given: Given) -> bool:
    run = run_rules(knowledge(), given)
    return thing in run.facts or any(thing in firing.says for firing in run.firings)


@pytest.mark.parametrize("name", NAMES)
def test_every_why_gives_its_conclusion_from_its_leaves_alone(name: str) -> None:
    made = diagnosis(name)
    concluded: tuple[Thing, ...] = (*made.run.derived, *(said for firing in made.run.firings for said in firing.says))
    assert concluded
    for thing in dict.fromkeys(concluded):
        found = why(made.justification, made.run, thing)
        rests_on = {fact: made.run.given[fact] for fact in sorted(set(leaves(found)))}
        assert follows(thing, rests_on), thing


@pytest.mark.parametrize("name", NAMES)
def test_a_reason_that_is_the_only_one_cannot_be_left_out(name: str) -> None:
    made = diagnosis(name)
    tried = 0
    for firing in made.run.firings:
        for said in firing.says:
            found = why(made.justification, made.run, said)
            if len(found.because) == 1 and not any(premise.because for premise in found.because[0].premises):
                needed = [p.thing for p in found.because[0].premises if isinstance(p.thing, Fact)]
                for gone in needed:
                    rest = {fact: made.run.given[fact] for fact in sorted(f for f in needed if f != gone)}
                    assert not follows(said, rest)
                    tried += 1
    assert tried


@pytest.mark.parametrize("name", NAMES)
def test_every_cause_is_as_likely_as_its_start_and_the_weights_of_the_answers_make_it(name: str) -> None:
    answers = diagnosis(name).answers
    rebuilt = 0
    for cause in answers.causes:
        weights = [seen.decibans.get(cause.id) for seen in answers.observations]
        if cause.id == NOT_LISTED or None in weights or not 0 < cause.leaking_first < 1:
            continue
        start = decibans(knowledge().causes[cause.id].share / 100)
        assert decibans(cause.leaking_first) == pytest.approx(start + sum(w for w in weights if w), abs=1e-6)
        rebuilt += 1
    assert rebuilt > 20


@pytest.mark.parametrize("name", NAMES)
def test_a_look_is_worth_its_gain_less_its_cost_and_its_results_are_all_that_there_are(name: str) -> None:
    made = diagnosis(name)
    for asked in made.plan.checks:
        own = made.planner.check_cost(knowledge().checks[asked.check]) + made.planner.access_cost(asked.opens)
        # What a repair opens anyway is not charged to the look.
        assert asked.net_value >= asked.gain - own - 1e-6
        assert asked.opens or asked.net_value == pytest.approx(asked.gain - own)
        assert asked.opens or asked.gain >= -1e-6  # what is opened has to be closed again, and that may cost more
        shown = spoken(made.planner, asked).outcomes
        assert sum(found.probability for found in shown) == pytest.approx(1)
        for cause in {found.leader for found in shown}:
            # What is believed after the results comes on average to what is believed now.
            at = made.planner.likely_only.causes.index(cause)
            after = asked.outlook.probability @ asked.outlook.leaking_first[:, at]
            assert after == pytest.approx(made.planner.likely_only.leaking_first[at], abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_parts_of_what_a_repair_costs_add_up_to_what_it_is_said_to_cost(name: str) -> None:
    made = diagnosis(name)
    for path in made.answers.repairs:
        shown = flat_tree(why_text(knowledge(), made.case, made, path.actions[0])) if path.actions else ""
        if "holds:" not in shown:
            continue
        amounts = re.findall(r"([\d,]+) USD", shown[shown.index("holds:") : shown.index("expected cost")])
        whole = re.search(r"expected cost ([\d,]+) USD", shown)
        assert whole is not None
        parts = [float(a.replace(",", "")) for a in amounts]
        assert math.isclose(sum(parts), float(whole[1].replace(",", "")), rel_tol=0.02, abs_tol=5 * len(parts) + 5)
