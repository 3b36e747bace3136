"""A process that writes is killed at each named point and at random: all that was said to be saved is there, whole.

``python -m tests.store.database.kills --each 200`` does the same oftener.
"""

from pathlib import Path

import pytest

from tests.store.database.kills import POINTS, kills
from tests.store.database.stores import KINDS


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_said_to_be_saved_outlives_any_kill_and_nothing_is_half_written(kind: str, tmp_path: Path) -> None:
    found = list(kills(kind, len(POINTS), tmp_path))
    assert [(one.what, one.point, one.wrong) for one in found] == [(*point, ()) for point in POINTS]
    assert sum(one.saved for one in found) >= 10
