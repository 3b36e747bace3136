"""Each changed world of the simulation changes what it says, as often as it says, and nothing else."""

from collections.abc import Iterator
from math import log, sqrt

import numpy as np
import pytest
from msgspec import structs

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import NOT_LISTED, Knowledge
from leakdx.reasoning.compiled import compile_links
from leakdx.reasoning.shares import leaking_after_complaint
from tests.published import simulation
from tests.published.changed import with_history_off, with_odds_off, without_cause
from tests.published.reference.reader import load
from tests.published.reference.sampler import draw_history
from tests.published.slips import Slips
from tests.published.trucks import Job
from tests.published.truth import truth_of
from tests.published.worked import Refused, one_truck
from tests.published.worlds import DRAWS, FORGOTTEN, NAMES, UNKNOWN, odds_off, world

ACROSS = (2.0, 3.0)


@pytest.fixture(scope="module")
def told() -> Knowledge:
    return load_knowledge([shipped_folder()])


def test_knowledge_in_memory_reads_like_its_files(told: Knowledge) -> None:
    assert truth_of(told).meaning == load(shipped_folder())


# -- what trucks are drawn from ----------------------------------------------------------------------------


def _chances(known: Knowledge) -> Iterator[float]:
    """Every probability that the odds of are moved, in a fixed order; looks apart, which are scaled together."""
    for cause in known.causes.values():
        yield known.link(cause.leaks)
        for table in (cause.also_zones, cause.shows, cause.leads_to):
            yield from map(known.link, table.values())
    yield from (known.stray(s.stray) for s in known.signs.values() if not s.results and not s.place)
    yield from known.words.transfers.values()


def _odds(chances: Iterator[float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([log(c / (1 - c)) for c in chances if 0 < c < 1])


@pytest.mark.parametrize("factor", ACROSS)
def test_odds_are_off_by_up_to_the_factor_either_way(told: Knowledge, factor: float) -> None:
    moved = np.concatenate(
        [_odds(_chances(with_odds_off(told, factor, (seed,)))) - _odds(_chances(told)) for seed in range(5)]
    )
    assert np.abs(moved).max() <= log(factor) + 1e-9
    assert abs(moved.mean()) < 4 * log(factor) / sqrt(3 * len(moved))
    assert moved.std() == pytest.approx(log(factor) / sqrt(3), rel=0.1)


def test_what_is_sure_stays_sure(told: Knowledge) -> None:
    off = with_odds_off(told, 3, (0,))
    for id, cause in told.causes.items():
        assert (told.link(cause.leaks) == 1) == (off.link(off.causes[id].leaks) == 1)


def test_shares_off_keep_their_sum_and_hold(told: Knowledge) -> None:
    truth = odds_off(3, 1)
    off = truth.knowledge
    assert sum(c.share for c in off.causes.values()) == pytest.approx(sum(c.share for c in told.causes.values()))
    assert any(abs(off.causes[c].share / told.causes[c].share - 1) > 0.5 for c in told.causes)
    model = compile_links(off)
    base = np.array([truth.base[c] for c in model.causes])
    reached = leaking_after_complaint(model, np.log(base / (1 - base)))
    assert reached == pytest.approx(model.shares, abs=1e-8)


def test_words_for_a_look_never_sum_to_more_than_may_be(told: Knowledge) -> None:
    for seed in range(3):
        off = with_odds_off(told, 3, (seed,))
        assert all(
            sum(map(off.link, asked.values())) <= 0.95 + 1e-9 for c in off.causes.values() for asked in c.looks.values()
        )
        assert all(sum(off.stray(r.stray) for r in s.results.values()) <= 0.95 + 1e-9 for s in off.signs.values())


def test_history_off_draws_other_answers_and_changes_nothing_else(told: Knowledge) -> None:
    off = with_history_off(told, 3, (0,))
    assert structs.replace(off, history=told.history, hash=told.hash) == told
    group = max(told.history, key=lambda g: _largest_move(told, off, g))
    wanted = {id: answer.common / 100 for id, answer in off.history[group].answers.items()}
    assert sum(wanted.values()) == pytest.approx(1)
    rng = np.random.default_rng(5)
    meaning = truth_of(off).meaning
    drawn = [draw_history(meaning, rng)[group] for _ in range(2000)]
    for answer, chance in wanted.items():
        assert abs(drawn.count(answer) / 2000 - chance) < 4 * sqrt(0.25 / 2000)
    assert _largest_move(told, off, group) > 0.05


def _largest_move(told: Knowledge, off: Knowledge, group: str) -> float:
    pairs = zip(told.history[group].answers.values(), off.history[group].answers.values(), strict=True)
    return max(abs(a.common - b.common) / 100 for a, b in pairs)


# -- what the one who diagnoses was told -------------------------------------------------------------------


def test_the_shares_of_the_other_causes_are_scaled_back_to_the_old_sum(told: Knowledge) -> None:
    total = sum(c.share for c in told.causes.values())
    for cause in told.causes:
        left = without_cause(told, cause)
        assert set(left.causes) == set(told.causes) - {cause}
        assert sum(c.share for c in left.causes.values()) == pytest.approx(total)
        ratios = {left.causes[c].share / told.causes[c].share for c in left.causes}
        assert max(ratios) == pytest.approx(min(ratios))


def test_signs_that_only_a_forgotten_cause_shows_are_forgotten_too(told: Knowledge) -> None:
    for cause in told.causes:
        own = {sign for sign, causes in told.shown_by.items() if causes == {cause}}
        assert own <= set(without_cause(told, cause).signs)
        assert not own & set(without_cause(told, cause, with_its_signs=True).signs)


@pytest.mark.parametrize("kind", [UNKNOWN, FORGOTTEN])
def test_a_cause_never_heard_of_leaks_in_every_truck_of_its_world(told: Knowledge, kind: str) -> None:
    cause = max(told.causes, key=lambda c: told.causes[c].share)
    name = f"{kind}:{cause}"
    with simulation.runner(1, "wander") as working:
        numbers = simulation.first_with([simulation.leaks_in(1, n) for n in range(400)], [cause], most=4)[cause]
        drawn = working.run(name, 1, numbers)
    assert len(drawn) == 4
    for outcome in drawn:
        assert not isinstance(outcome, Refused)
        assert cause in outcome.leaked
        assert cause not in dict(outcome.ranked)


def test_worlds_have_their_names_and_draw_from_what_they_say(told: Knowledge) -> None:
    for name in NAMES:
        assert world(name).name == name
        assert world(name).told == told
    assert world("unchanged").truth(0).knowledge == told
    assert world("odds_2").truth(0) is world("odds_2").truth(DRAWS)
    assert world("odds_2").truth(0).knowledge.hash != world("odds_2").truth(1).knowledge.hash
    with pytest.raises(KeyError):
        world("no_such_world")


def test_no_truck_is_of_a_cause_that_is_not_listed_unless_by_its_share(told: Knowledge) -> None:
    leaks = [simulation.leaks_in(2, number) for number in range(600)]
    share = told.words.not_listed.share / 100
    assert abs(sum(NOT_LISTED in one for one in leaks) / 600 - share) < 4 * sqrt(share / 600)


# -- who writes it down ------------------------------------------------------------------------------------


def test_five_in_a_hundred_answers_are_another_one(told: Knowledge) -> None:
    slips = Slips(told, 0.05, 0.0, (1,))
    written = [slips.look("any", 1, 3) for _ in range(8000)]
    assert abs(sum(rank != 1 for rank in written) / 8000 - 0.05) < 4 * sqrt(0.05 / 8000)
    assert {*written} == {0, 1, 2}
    answers = {"a": 0, "b": 0}
    told_wrong = [slips.told("a", answers) for _ in range(4000)]
    assert abs(told_wrong.count("b") / 4000 - 0.05) < 4 * sqrt(0.05 / 4000)


def test_one_technician_in_five_overlooks_a_quarter_of_all_signs(told: Knowledge) -> None:
    drawn = [Slips(told, 0.0, 0.2, (seed,)) for seed in range(1000)]
    blind = [slips for slips in drawn if slips.overlooked]
    assert abs(len(blind) / 1000 - 0.2) < 4 * sqrt(0.16 / 1000)
    assert {len(slips.overlooked) for slips in blind} == {round(len(told.signs) / 4)}
    for sign in sorted(told.signs)[:20]:
        assert blind[0].look(sign, 1, 2) == (0 if sign in blind[0].overlooked else 1)


def test_nobody_slips_in_the_unchanged_world(told: Knowledge) -> None:
    slips = Slips(told, 0.0, 0.0, (1,))
    assert not slips.overlooked
    assert all(slips.look(sign, rank, 2) == rank for sign in told.signs for rank in (0, 1))


def test_the_same_trucks_come_whoever_writes_it_down() -> None:
    for number in range(5):
        trucks = [Job(world(name), 4, number).truck.leaking() for name in ("unchanged", "wrong_answers", "blind_spot")]
        assert trucks[0] == trucks[1] == trucks[2]


def test_every_world_can_be_worked() -> None:
    for name in NAMES:
        assert not isinstance(one_truck(name, "wander", 1, 0), Refused)
