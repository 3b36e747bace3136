"""What differs in the last digits alone stands in the order of the knowledge."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from leakdx.reasoning import ties

chances = st.lists(st.integers(0, 20), min_size=1, max_size=8)


@given(chances, st.integers(0, 2**32 - 1))
def test_noise_of_summing_moves_nothing(twentieths: list[int], seed: int) -> None:
    exact = np.array(twentieths) / 20
    noisy = exact + np.random.default_rng(seed).normal(size=len(exact)) * 1e-15
    expected = sorted(range(len(exact)), key=lambda i: (-twentieths[i], i))
    assert ties.likeliest_first(noisy).tolist() == expected
    assert ties.likeliest(noisy) == expected[0]
    assert sorted(range(len(exact)), key=lambda i: -ties.chance(float(noisy[i]))) == expected
    assert int(ties.cheapest(-100 * noisy)) == expected[0]


def test_what_is_truly_greater_comes_first() -> None:
    assert ties.likeliest_first(np.array([0.1, 0.1 + 1e-11])).tolist() == [1, 0]
    assert ties.money(1.0000001) > ties.money(1.0)
