"""Published values of diagnostic theory, reached by leakdx's own elimination and belief."""

from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from leakdx.reasoning.elimination import Elimination
from tests.published import tiny
from tests.published.asked import believe
from tests.published.reference.reader import Story

YES, NO = (0.0, 1.0), (1.0, 0.0)

# Lauritzen and Spiegelhalter 1988, the tables as reproduced in a public page (the BUGS examples); state 1 is yes.
ASIA = ("asia", "smoke", "tub", "lung", "bronc", "either", "xray", "dysp")


def _yes(chances: object) -> NDArray[np.float64]:
    """Axes (parents..., node) from the chances of yes, with a batch axis of one case."""
    yes = np.asarray(chances, float)
    return np.stack([1 - yes, yes], axis=-1)[..., None]


ASIA_TABLES = {
    ("asia",): _yes(0.01),
    ("smoke",): _yes(0.5),
    ("asia", "tub"): _yes([0.01, 0.05]),
    ("smoke", "lung"): _yes([0.01, 0.1]),
    ("smoke", "bronc"): _yes([0.3, 0.6]),
    ("tub", "lung", "either"): _yes([[0, 1], [1, 1]]),
    ("either", "xray"): _yes([0.05, 0.98]),
    ("either", "bronc", "dysp"): _yes([[0.1, 0.8], [0.7, 0.9]]),
}


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        ({}, (0.0104, 0.055, 0.45, 0.064828, 0.110290, 0.435971, 0.5)),
        ({"dysp": 1}, (0.018845, 0.102759, 0.833967, 0.120536, 0.162098, 1, 0.633997)),
        ({"asia": 1, "dysp": 1}, (0.087751, 0.099525, 0.811402, 0.182300, 0.219539, 1, 0.625920)),
        ({"asia": 1, "dysp": 1, "xray": 0}, (0.002249, 0.002550, 0.862761, 0.004672, 0, 1, 0.604512)),
        ({"xray": 1}, (0.092411, 0.488711, 0.506326, 0.576040, 1, 0.640766, 0.687754)),
    ],
)
def test_the_asia_network(seen: Mapping[str, int], expected: tuple[float, ...]) -> None:
    """Results by enumeration and by a public library, which agree (own derivation)."""
    scopes = [tuple(ASIA.index(v) for v in scope) for scope in ASIA_TABLES]
    core = Elimination([2] * len(ASIA), scopes, list(ASIA_TABLES.values()))
    unaries = [np.eye(2)[:, seen[v]][:, None] if v in seen else np.ones((2, 1)) for v in ASIA]
    found = core.marginals(unaries).single
    asked = ("tub", "lung", "bronc", "either", "xray", "dysp", "smoke")
    assert [found[ASIA.index(v)][1, 0] for v in asked] == pytest.approx(expected, abs=5e-7)


def _quickscore(*seen: tuple[str, tuple[float, ...]]) -> list[float]:
    tree = tiny.tree(
        causes={
            "d1": tiny.cause(0.10, shows={"f1": 0.8, "f2": 0.2}),
            "d2": tiny.cause(0.20, shows={"f1": 0.5, "f2": 0.7}),
            "d3": tiny.cause(0.05, shows={"f1": 0.1, "f2": 0.9}),
        },
        signs={"f1": tiny.sign(0.01), "f2": tiny.sign(0.02)},
    )
    evidence = tuple((sign, 0, likelihood) for sign, likelihood in seen)
    return [float(p) for p in believe(tree, tiny.meaning(tree), Story(tiny.NOWHERE, seen=evidence)).leaking]


@pytest.mark.parametrize(
    ("f1", "f2", "expected"),
    [
        (YES, YES, (0.3027898, 0.8006162, 0.1234368)),
        (YES, None, (0.4461966, 0.5932109, 0.0711178)),
        (NO, NO, (0.0174672, 0.0361446, 0.0047145)),
    ],
)
def test_two_level_noisy_or(f1: tuple[float, ...], f2: tuple[float, ...] | None, expected: tuple[float, ...]) -> None:
    """The setting of Heckerman 1989 (Quickscore); numbers by brute force and by his formula (own derivation)."""
    seen = [("f1", f1), *([("f2", f2)] if f2 else [])]
    assert _quickscore(*seen) == pytest.approx(expected, abs=5e-8)


def _one_test(prior: float, sensitivity: float, false_alarm: float, answer: tuple[float, ...]) -> tuple[float, float]:
    """Posterior of a cause after one sign, and the weight of that sign in decibans."""
    link = 1 - (1 - sensitivity) / (1 - false_alarm)  # a link's strength excludes the stray
    tree = tiny.tree(causes={"a": tiny.cause(prior, shows={"test": link})}, signs={"test": tiny.sign(false_alarm)})
    belief = believe(tree, tiny.meaning(tree), Story(tiny.NOWHERE, seen=(("test", 0, answer),)))
    return float(belief.leaking[0]), float(belief.weights()[1][0, 0])


def test_a_rare_thing_and_a_good_test() -> None:
    """Sensitivity .97, false alarms .05, prior .01: about 16 % (as reproduced in a public page)."""
    assert _one_test(0.01, 0.97, 0.05, YES)[0] == pytest.approx(0.1638, abs=1e-4)


def test_likelihood_ratios_in_decibans() -> None:
    """Sensitivity .9, specificity .95: ratios 18 and .105263, 12.553 and -9.777 dB (own derivation)."""
    assert _one_test(0.01, 0.9, 0.05, YES) == pytest.approx((0.153846, 12.553), abs=5e-4)
    assert _one_test(0.01, 0.9, 0.05, NO)[1] == pytest.approx(-9.777, abs=5e-4)


def test_twenty_heads_in_decibans() -> None:
    """The coin of the General Report on Tunny, 1945, p. 39 (as reproduced in a public page).

    Prior odds -40 dB, twenty observations of a factor two: 20 dB in round figures, 104.8576 to 1 exactly.
    """
    heads = {f"head{i}": 0.5 for i in range(20)}
    tree = tiny.tree(
        causes={"double_headed": tiny.cause(1 / 10001, shows=dict.fromkeys(heads, 1.0))},
        signs={head: tiny.sign(stray) for head, stray in heads.items()},
    )
    belief = believe(tree, tiny.meaning(tree), Story(tiny.NOWHERE, seen=tuple((h, 0, YES) for h in heads)))
    odds = float(belief.leaking[0] / (1 - belief.leaking[0]))
    assert odds == pytest.approx(104.8576, rel=1e-8)
    assert belief.weights()[1][:, 0].tolist() == pytest.approx([10 * np.log10(2)] * 20, abs=1e-9)
    assert 10 * np.log10(odds) == pytest.approx(20.206, abs=5e-4)
