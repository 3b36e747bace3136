"""A list of calls with measurements that cannot be, and what is said of each."""

from collections.abc import Callable

import pytest

from leakdx.mechanics.given import MeasureError

Refused = tuple[Callable[[], object], str]


def is_refused(call: Callable[[], object], said: str) -> None:
    """The call is refused in one sentence that holds the words."""
    with pytest.raises(MeasureError) as refused:
        call()
    sentence = str(refused.value)
    assert said in sentence
    assert "\n" not in sentence
    assert sentence == sentence.strip()
