"""What a sealant's label says, as it is typed."""

import pytest

from leakdx.measured.fields import FieldError
from leakdx.measured.sealant import EXAMPLE, SealantLabel, read_label


def test_times_air_and_humidity_are_read_with_their_units_in_any_order() -> None:
    found = read_label(EXAMPLE)
    assert (found.open, found.fill, found.load, found.humidity) == (600, 7200, 86400, 40)
    assert found.air == pytest.approx(10)
    assert read_label("humidity 40 %, air 50 degF, load 24 h, fill 2 h, open 10 min") == found
    assert read_label("load 1 day") == SealantLabel(load=86400)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "nothing is said; write it as open 10 min"),
        ("open", "'open' says nothing"),
        ("open 10", "has no unit"),
        ("open 10 lb", "min"),
        ("open 10 min, open 12 min", "said twice"),
        ("cured 24 h", "no part of this"),
        ("air 200 degF", "between -20 and 60"),
        ("humidity 140", "between 1 and 100"),
        ("load 90 days", "between 1 and"),
    ],
)
def test_what_cannot_be_is_said_with_what_would_be_right(typed: str, said: str) -> None:
    with pytest.raises(FieldError, match=said):
        read_label(typed)
