"""Explanations are true: whatever is explained follows from the leaves of its own explanation, and from no fewer."""

from collections.abc import Iterator

import pytest

from leakdx.reasoning.facts import Fact, Given
from leakdx.reasoning.justification import Thing, Why, why
from leakdx.reasoning.rules import run_rules
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
