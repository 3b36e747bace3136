"""On a small knowledge, whatever was answered: what is concluded follows from its own leaves, and weights add up."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from leakdx.case import Case
from leakdx.errors import CaseError
from leakdx.explain.why import why_text
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.justification import Thing, why
from leakdx.reasoning.rules import run_rules
from leakdx.reasoning.supposed import changes, supposed
from tests.explain.test_rebuilt import leaves


@cache
def six() -> Knowledge:
    return load_knowledge([Path(__file__).parents[1] / "data" / "six"])


@cache
def new_truck() -> Diagnosis:
    return diagnose(six(), Case(id="NEW", complaint=six().complaint))


@st.composite
def diagnosed(draw: st.DrawFn) -> Diagnosis:
    """A truck on which some of all there is to answer was answered, what has to be opened for it opened."""
    every = changes(new_truck())
    drawn = draw(st.lists(st.sampled_from(every), max_size=6, unique_by=lambda change: change.id))
    try:
        made = diagnose(six(), supposed(new_truck(), drawn))
        made.causes  # noqa: B018 - answers that exclude one another are told here
    except CaseError:
        assume(False)
    return made


@settings(max_examples=30)
@given(diagnosed())
def test_whatever_rules_conclude_follows_from_its_leaves_alone(made: Diagnosis) -> None:
    said = (thing for firing in made.run.firings for thing in firing.says)
    concluded: tuple[Thing, ...] = (*made.run.derived, *said)
    for thing in dict.fromkeys(concluded):
        rests_on = sorted(set(leaves(why(made.justification, made.run, thing))))
        run = run_rules(six(), {fact: made.run.given[fact] for fact in rests_on})
        assert thing in run.facts or any(thing in firing.says for firing in run.firings), thing


@settings(max_examples=30)
@given(diagnosed())
def test_a_belief_is_its_start_and_the_weights_of_the_answers(made: Diagnosis) -> None:
    for cause in made.answers.causes:
        weights = [seen.decibans.get(cause.id) for seen in made.answers.observations]
        if cause.id != NOT_LISTED and None not in weights and 0 < cause.leaking_first < 1:
            start = decibans(next(c for c in new_truck().answers.causes if c.id == cause.id).leaking_first)
            rise = decibans(cause.leaking_first) - start
            assert rise == pytest.approx(sum(w for w in weights if w), abs=1e-6), cause.id


@settings(max_examples=10)
@given(diagnosed())
def test_every_thing_that_was_concluded_can_be_asked(made: Diagnosis) -> None:
    concluded = {thing.id for thing in made.run.derived if isinstance(thing, Fact)}
    concluded |= {cause.id for cause in made.answers.causes}
    concluded |= {action for path in made.answers.repairs for action in path.actions}
    for id in sorted(concluded):
        assert len(why_text(six(), made.case, made, id).splitlines()) > 1, id
