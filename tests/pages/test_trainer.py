"""The trainer's page: every cause, weight and rule, with its numbers."""

import pytest

from leakdx.diagrams.engine import DiagramError
from leakdx.explain.words import outcome, percent
from leakdx.pages import trainer
from leakdx.pages.document import Picture, Say, Table, Tree
from leakdx.pages.trainer import trainer_page
from leakdx.reasoning.next_check import spoken
from tests.pages.made import document
from tests.shipped import diagnosis, knowledge


def table(name: str, title: str) -> Table:
    return next(b for b in document("trainer", name).blocks if isinstance(b, Table) and title in b.title)


def test_every_likely_cause_stands_with_its_chances() -> None:
    causes = {row[0]: row[1] for row in table("06", "Causes").rows}
    likely = [c for c in diagnosis("06").answers.causes if c.leaking_first >= 0.02]
    assert {c.name: percent(c.leaking_first) for c in likely}.items() <= causes.items()


def test_every_answer_stands_with_what_it_did_to_the_first_and_the_second() -> None:
    made = diagnosis("06").answers
    rows = table("06", "Decibans").rows
    assert len(rows) == len(made.observations)
    first = made.causes[0].id
    assert [row[3] for row in rows] == [f"{o.decibans[first]:+.1f}" for o in made.observations]


def test_every_rule_that_fired_stands_with_what_it_stood_on() -> None:
    trees = [block.root for block in document("trainer", "06").blocks if isinstance(block, Tree)]
    firings = diagnosis("06").run.firings
    for firing, tree in zip(firings, trees[-len(firings) :], strict=True):
        assert knowledge().name(firing.rule) in tree.text
        assert [branch.text for branch in tree.below] == ["stands on", "says"]


def test_the_next_check_stands_with_all_its_results() -> None:
    check = diagnosis("08").answers.next_check
    assert check is not None
    assert len(table("08", "What each result would change").rows) == len(check.outcomes)


def test_what_stands_against_the_rivals_is_said() -> None:
    roots = [block.root for block in document("trainer", "05").blocks if isinstance(block, Tree)]
    said = {root.text: root for root in roots if root.text.startswith("Why not ")}
    for rival in diagnosis("05").answers.causes[1:4]:
        against = next(b for b in said[f"Why not {rival.name}"].below if "spoke against it" in b.text)
        moved = [o.decibans.get(rival.id, 0.0) for o in diagnosis("05").answers.observations]
        assert bool(against.below) == (min(moved) <= -0.5)


@pytest.mark.parametrize("name", ["05", "08"])
def test_results_that_would_change_it_stand_with_their_chance_the_cheapest_look_first(name: str) -> None:
    made = diagnosis(name)
    rows = table(name, "Looks still to be had").rows
    every = [(spoken(made.planner, asked), found) for asked in made.plan.checks
             for found in spoken(made.planner, asked).outcomes]  # fmt: skip
    minutes = {look.name: sum(look.minutes) for look, _ in every}
    shown = [minutes[row[0].rpartition(" (")[0]] for row in rows]
    assert shown == sorted(shown)
    for look, result, chance, leads, does in rows:
        assert leads or does
        ((_, found),) = [
            (one, o) for one, o in every
            if look.startswith(f"{one.name} (") and outcome(knowledge(), o.answers) == result
        ]  # fmt: skip
        assert chance == percent(found.probability)
        assert bool(leads) == (found.leader != made.answers.causes[0].id)


def test_the_picture_stands_in_it_or_a_sentence_says_why_not(monkeypatch: pytest.MonkeyPatch) -> None:
    assert any(isinstance(block, Picture) for block in document("trainer", "06").blocks)

    def none(*_: object) -> bytes:
        raise DiagramError("there is no engine")

    monkeypatch.setattr(trainer, "reasoning_svg", none)
    blocks = trainer_page(diagnosis("06")).blocks
    assert not any(isinstance(block, Picture) for block in blocks)
    assert any(isinstance(block, Say) and "there is no engine" in block.text for block in blocks)
