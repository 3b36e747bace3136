"""Cross patterns of round flanges, beside ours.

ASME PCC-1, legacy cross pattern: for 4, 8, 16 and 20 fasteners from memory; for 12 as reproduced in a public page,
a weak one.
"""

import pytest

from leakdx.mechanics.order import round_order

PATTERNS = (
    "1 3 2 4",
    "1 5 3 7 2 6 4 8",
    "1 7 4 10 2 8 5 11 3 9 6 12",
    "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16",
    "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19",
)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_ours_is_the_published_order(pattern: str) -> None:
    wanted = [int(each) for each in pattern.split()]
    assert [number for group in round_order(len(wanted)) for number in group.numbers] == wanted
