"""What must be so of every diagnosis, on the shipped knowledge and on random tiny ones."""

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from os import environ
from pathlib import Path
from typing import NamedTuple

import msgspec
import numpy as np
import pytest

from leakdx.case import Case, Done, LogEntry, Observation, Told, Withdrawal
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.answer import Answers
from leakdx.reasoning.belief import Belief, compile_model
from leakdx.reasoning.diagnosis import diagnose
from leakdx.reasoning.timeline import could_not_have_been_seen
from leakdx.store.casefile import read_case
from tests.published import random_knowledge, tiny
from tests.published.asked import evidence_of, knowledge_of
from tests.published.reference import network
from tests.published.reference.reader import Meaning, Story
from tests.published.trucks import Job
from tests.published.worked import wander
from tests.published.worlds import world

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    """The shipped knowledge."""
    return load_knowledge([shipped_folder()])


def worked(seed: int) -> Case:
    """A case of a sampled truck: history, a look all round, and a few checks made at random."""
    job = Job(world("unchanged"), 99, seed)
    job.open_interview()
    wander(job)
    return job.case


def of_log(case: Case, log: list[LogEntry]) -> Case:
    """The case with another log, numbered anew."""
    renumbered = (msgspec.structs.replace(entry, number=i) for i, entry in enumerate(log, 1))
    return msgspec.structs.replace(case, log=tuple(renumbered))


class Said(NamedTuple):
    """Everything that an answer says, by its place: words as they are, numbers but for their last bits."""

    words: dict[str, object]
    numbers: dict[str, float]

    def assert_is(self, other: "Said") -> None:
        """The same; sums taken in another order end in other bits."""
        assert self.words == other.words
        assert self.numbers == pytest.approx(other.numbers, rel=1e-9, abs=1e-12)


def without_weights(answers: Answers) -> Said:
    """Everything that is said, weights apart: they follow the order of entry."""
    document = msgspec.json.decode(msgspec.json.encode(msgspec.structs.replace(answers, observations=())))
    leaves = dict(_leaves(document))
    numbers = {place: leaf for place, leaf in leaves.items() if isinstance(leaf, float)}
    return Said({place: leaf for place, leaf in leaves.items() if place not in numbers}, numbers)


def _leaves(part: object, place: str = "") -> Iterator[tuple[str, object]]:
    """(place, word or number) of all that a document holds."""
    if isinstance(part, dict | list):
        for key, below in part.items() if isinstance(part, dict) else enumerate(part):
            yield from _leaves(below, f"{place}/{key}")
    else:
        yield place, part


def test_after_the_complaint_alone_every_cause_stands_at_its_share(knowledge: Knowledge) -> None:
    answers = diagnose(knowledge, Case(id="NEW", complaint=knowledge.complaint)).answers
    shares = {id: cause.share / 100 for id, cause in knowledge.causes.items()}
    shares[NOT_LISTED] = knowledge.words.not_listed.share / 100
    assert {c.id: c.leaking_first for c in answers.causes} == pytest.approx(shares, abs=1e-9)
    assert {c.id: c.leaking for c in answers.causes} == pytest.approx(shares, abs=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_a_worked_case_holds_nothing_that_nobody_can_have_seen(knowledge: Knowledge, seed: int) -> None:
    """What leakdx offers to ask, it also takes for an answer."""
    assert could_not_have_been_seen(knowledge, worked(seed)) == ()


@pytest.mark.parametrize("seed", range(3))
def test_repeating_an_answer_changes_nothing(knowledge: Knowledge, seed: int) -> None:
    case = worked(seed)
    *_, last_epoch = _between_acts(case)
    again = [entry for entry in last_epoch if isinstance(entry, Observation | Told)]
    repeated = diagnose(knowledge, of_log(case, [*case.log, *again])).answers
    without_weights(repeated).assert_is(without_weights(diagnose(knowledge, case).answers))


@pytest.mark.parametrize("seed", range(3))
def test_withdrawal_restores_the_earlier_diagnosis_to_the_bit(knowledge: Knowledge, seed: int) -> None:
    case = worked(seed)
    earlier = msgspec.structs.replace(case, log=case.log[:-1])
    gone = Withdrawal(number=len(case.log) + 1, who="CD", entry=len(case.log))
    withdrawn = msgspec.structs.replace(case, log=(*case.log, gone))
    before, after = diagnose(knowledge, earlier).answers, diagnose(knowledge, withdrawn).answers
    assert msgspec.json.encode(after) == msgspec.json.encode(before)


@pytest.mark.parametrize("seed", range(3))
def test_the_order_of_answers_within_an_epoch_does_not_matter(knowledge: Knowledge, seed: int) -> None:
    case = worked(seed)
    rng = np.random.default_rng(seed)
    mixed = [entry for part in _between_acts(case) for entry in [part[i] for i in rng.permutation(len(part))]]
    said = without_weights(diagnose(knowledge, case).answers)
    without_weights(diagnose(knowledge, of_log(case, mixed)).answers).assert_is(said)


def _between_acts(case: Case) -> Iterator[list[LogEntry]]:
    """Runs of answers and readings, each act alone; the last run is that of the last epoch."""
    run: list[LogEntry] = []
    for entry in case.log:
        if isinstance(entry, Done):
            yield run
            yield [entry]
            run = []
        else:
            run.append(entry)
    yield run


@pytest.mark.parametrize("seed", range(4))
def test_a_yes_never_lowers_its_only_parent(seed: int) -> None:
    """Signs that are so or not, in knowledges without "not listed here", beside any other evidence."""
    rng = np.random.default_rng(seed)
    for _ in range(10):
        tree = _with_own_signs(random_knowledge.draw(rng, causes=(3, 5))[0])
        meaning, model = tiny.meaning(tree), compile_model(knowledge_of(tree))
        story, told = _story_without(("own_leak", "own_condition"), meaning, rng)
        before = Belief(model, evidence_of(meaning, story, told))
        for sign in ("own_leak", "own_condition"):
            seen = (*story.seen, (sign, story.epochs - 1, (0.0, 1.0)))
            after = Belief(model, evidence_of(meaning, replace(story, seen=seen), told))
            for name in ("leaking", "present"):
                assert getattr(after, name)[0] >= getattr(before, name)[0] - 1e-12


def _story_without(signs: tuple[str, ...], meaning: Meaning, rng: np.random.Generator) -> tuple[Story, dict[str, str]]:
    """A random story that can be so, that leaves the first cause possible, and in which these signs were not seen."""
    while True:
        story, told = random_knowledge.draw_story(meaning, rng)
        story = replace(story, seen=tuple(s for s in story.seen if s[0] not in signs))
        with suppress(network.ImpossibleError):
            chances, _ = network.cause_marginals(meaning, dict.fromkeys(meaning.causes, 0.1), story)
            if chances["c0"][0] > 0:
                return story, told


def _with_own_signs(tree: tiny.Tree) -> tiny.Tree:
    """Two signs of its own for the first cause, and nothing unlisted."""
    tree["has_not_listed"] = "false"
    for sign, hangs_on in (("own_leak", "leaking"), ("own_condition", "present")):
        tree["signs"][sign] = {"name": sign, **tiny.SAID, **tiny.sign(0.02, hangs_on)}
        tree["causes"]["c0"]["shows"][sign] = tiny.raw(0.35)
    return tree


def shipped_cases() -> list[Path]:
    """The cases that come with the product."""
    return sorted((ROOT / "docs" / "cases").glob("*.yaml"))


@pytest.mark.parametrize("path", shipped_cases(), ids=lambda p: p.stem)
def test_without_rules_nothing_is_held_forbidden_or_judged(knowledge: Knowledge, path: Path) -> None:
    bare = msgspec.structs.replace(knowledge, rules={}, hash=knowledge.hash + " without rules")
    said = diagnose(bare, read_case(path, bare))
    assert said.fit_to_drive.answer == "not_judged"
    assert not any((said.run.firings, said.holds, said.forbidden, said.orders.cautions()))
    assert not any((said.orders.put_right(), said.orders.required()))
    assert not {**said.orders.established(), **said.orders.excluded()}


def test_the_same_bytes_under_five_hash_seeds() -> None:
    case = max(shipped_cases(), key=lambda p: p.stat().st_size)
    said = set()
    for seed in ("0", "1", "2", "3", "4"):
        command = [sys.executable, "-m", "leakdx", "diagnose", str(case), "--json"]
        env = {**environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
        said.add(subprocess.run(command, env=env, cwd=ROOT, capture_output=True, check=True).stdout)
    assert len(said) == 1
    assert json.loads(said.pop())["causes"]
