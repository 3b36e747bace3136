"""One conclusion drawn: everything of its reasons stands on it, and nothing of others."""

import re

import pytest

from leakdx.diagrams.justification import justification_dot, justification_svg
from leakdx.errors import UsageError
from leakdx.explain.words import FAINT
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.justification import Why, things_about, why
from tests.diagrams.test_reasoning import texts
from tests.shipped import NAMES, diagnosis, flat


@pytest.mark.parametrize("name", NAMES[:6])
def test_a_cause_with_each_answer_that_moved_it(name: str) -> None:
    made = diagnosis(name)
    leader = made.answers.causes[0].id
    said = texts(justification_svg(made, leader))
    for seen in made.answers.observations:
        if abs(seen.decibans.get(leader, 0.0)) >= FAINT:
            assert f"{seen.decibans[leader]:+.0f} dB" in said
            assert f"[entry {seen.entry}" in said or not seen.entry


def rules_under(found: Why) -> set[str]:
    return {r.rule for r in found.because} | {x for r in found.because for p in r.premises for x in rules_under(p)}


@pytest.mark.parametrize("name", NAMES[:6])
def test_every_rule_under_what_bars_a_repair_and_no_other(name: str) -> None:
    made = diagnosis(name)
    for action in {ban.action for ban in made.forbidden}:
        dot = justification_dot(made, action)
        things = [t for t in things_about(made.run, action) if not isinstance(t, Fact) or t not in made.run.given]
        expected = set().union(*(rules_under(why(made.justification, made.run, thing)) for thing in things))
        drawn = flat(" ".join(re.findall(r'label="([^"]*)"[^\n]*shape=hexagon', dot.replace("\\n", " "))))
        hexagons = re.findall(r"shape=hexagon", dot)
        assert all(flat(made.knowledge.name(rule)) in drawn for rule in expected)
        assert len(hexagons) >= len(expected)


def test_fit_to_drive_and_holds_can_be_drawn() -> None:
    made = diagnosis("02")
    assert flat(made.fit_to_drive.reason) in texts(justification_svg(made, "fit"))
    said = texts(justification_svg(made, "holds"))
    assert all(flat(hold.text)[:25] in said for hold in made.holds)


def test_what_nothing_speaks_of_is_said_so() -> None:
    with pytest.raises(UsageError, match="nothing in this case speaks of"):
        justification_dot(diagnosis("02"), "hiss_at_plug")
