"""How clear an answer is: the finest level that counts, what is undecided, the likely sets."""

import numpy as np
import pytest

from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning import conclude
from tests.reasoning import tiny

Raised = dict[str, tuple[float, float]]
"""id -> (chance now, chance before this case's observations)."""
KNOWLEDGE = tiny.knowledge({"a": tiny.cause(60.0), "b": tiny.cause(45.0)})


def test_decibans_of_odds() -> None:
    """Ten times the logarithm of the odds (General Report on Tunny, 1945, as reproduced in a public page)."""
    assert conclude.decibans(0.5) == pytest.approx(0.0)
    assert conclude.decibans(10 / 11) == pytest.approx(10.0)
    assert conclude.decibans(2 / 3) == pytest.approx(3.0103, abs=1e-4)
    assert np.isfinite([conclude.decibans(0.0), conclude.decibans(1.0)]).all()


@pytest.mark.parametrize(
    ("causes", "families", "zones", "level"),
    [
        ({"a": 0.6}, {"f": (0.9, 0.1)}, {"z": (0.9, 0.1)}, "cause"),
        ({"a": 0.59}, {"f": (0.9, 0.1)}, {"z": (0.9, 0.1)}, "family"),
        ({"a": 0.3}, {"f": (0.59, 0.1)}, {"z": (0.9, 0.1)}, "zone"),
        # High before anything was seen is not clear: the joint stands at .7 after the complaint alone.
        ({"a": 0.3}, {"f": (0.2, 0.1)}, {"z": (0.75, 0.7)}, "none"),
        ({"a": 0.3}, {"f": (0.2, 0.1)}, {"z": (0.9, 0.7)}, "zone"),
    ],
)
def test_the_answer_stands_at_the_finest_clear_level(
    causes: dict[str, float],
    families: dict[str, tuple[float, float]],
    zones: dict[str, tuple[float, float]],
    level: str,
) -> None:
    assert conclude.clear_at(KNOWLEDGE, causes, families, zones).level == level


@pytest.mark.parametrize(
    ("chances", "between"),
    [
        ([0.7, 0.2, 0.1], ""),
        ([0.4, 0.3, 0.05, 0.04], "ab"),
        ([0.4, 0.3, 0.2, 0.04], "abc"),
        # One alone within 6 dB, or four of them, is just undecided: the first five.
        ([0.5, 0.1, 0.09, 0.05, 0.04, 0.03], "abcde"),
        ([0.3, 0.25, 0.2, 0.2, 0.01, 0.0], "abcde"),
    ],
)
def test_undecided_between_two_or_three_close_ones_or_the_first_five(chances: list[float], between: str) -> None:
    assert "".join(conclude.undecided_between(list(zip("abcdef", chances, strict=False)))) == between


def test_none_of_these_warns_above_a_tenth() -> None:
    assert not conclude.none_of_these({NOT_LISTED: 0.1}).warn
    assert conclude.none_of_these({NOT_LISTED: 0.11}).warn
    assert not conclude.none_of_these({"a": 0.9}).warn


def test_likely_sets_are_exact_for_independent_causes() -> None:
    """Each set's chance is the product of its causes leaking and all others not."""
    leaking = np.array([0.7, 0.2, 0.05])
    sets, masks = conclude.set_masks(leaking)
    kinds = np.stack([1 - leaking, np.zeros(3), leaking], axis=-1)
    chances = (masks * kinds).sum(axis=-1).prod(axis=-1)
    shown = conclude.likely_sets("abc", sets, chances)
    assert [s.causes for s in shown[:2]] == [("a",), ()]
    assert shown[0].probability == pytest.approx(0.7 * 0.8 * 0.95)
    assert chances.sum() == pytest.approx(1.0)


def test_contributors_are_likely_parents_and_history_that_raised() -> None:
    knowledge = tiny.knowledge(
        {
            "heat": tiny.cause(20.0, leads_to={"seal": 0.5}),
            "grit": tiny.cause(20.0, leads_to={"seal": 0.5}),
            "seal": tiny.cause(70.0),
        }
    )
    raised = {"last_opened": {"seal": 6.0}, "vocation": {"seal": -3.0}}
    found = conclude.contributors(knowledge, "seal", {"heat": 0.8, "grit": 0.2, "seal": 0.9}, raised)
    assert found == ("heat", "last_opened")
