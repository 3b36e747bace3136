"""A case at a glance: safety, where and what, and by how much an answer moved each cause."""

import math

from msgspec import structs

from leakdx.explain.glance import glance, safety_text
from leakdx.reasoning.diagnosis import diagnose
from tests.shipped import NAMES, diagnosis, knowledge, parts


def test_every_shipped_case_says_what_its_diagnosis_says() -> None:
    for name in NAMES[::4]:
        _, case, made = parts(name)
        seen = glance(case, made)
        assert seen.fit == made.answers.fit_to_drive.answer
        assert seen.holds == made.answers.holds
        assert seen.causes[0].id == made.answers.causes[0].id
        assert made.causes[0].name in seen.leads
        assert not seen.moved
        assert all(hold.text in safety_text(made) for hold in made.holds)


def test_what_moved_is_the_change_of_the_log_odds() -> None:
    now = diagnosis("01")
    before = diagnose(knowledge(), structs.replace(now.case, log=now.case.log[:-1]))
    seen = glance(now.case, now, before)
    was = {cause.id: cause.leaking_first for cause in before.causes}
    possible = [cause for cause in seen.causes if was[cause.id] > 0 and cause.chance > 0]
    assert len(possible) > 20
    for cause in possible:
        odds = [p / (1 - p) for p in (was[cause.id], cause.chance)]
        assert math.isclose(cause.decibans, 10 * math.log10(odds[1] / odds[0]), abs_tol=1e-6)
