"""The wet place against slack fasteners and a weld: what the case knows stands there already."""

import pytest

from leakdx.case import Measurement, PlacesSeen
from leakdx.diagrams.flangemap import WEAK, WELD, WET
from leakdx.interview.question import ReplyError
from leakdx.store.settings import Ways
from tests.interview.measuring.by_hand import case, form, typed
from tests.interview.measuring.test_offer import AUDIT, measured
from tests.shipped import knowledge


def test_it_is_one_enter_where_everything_was_measured() -> None:
    wet = PlacesSeen(number=1, who="AB", wet=(knowledge().complaint,), arc=(3, 5))
    place = form("place", case(wet, measured(2, "fasteners", AUDIT)))
    begun = place.begun()
    assert begun == {"wet": "3..5", "weak": "5 6 7"}
    found = place.found(begun)
    assert found.said[0].startswith("The wet arc stands at the slack fasteners: yes")
    (entry,) = place.entries(begun)
    assert isinstance(entry, Measurement)
    assert (entry.by, entry.readings) == ("place", {"wet": "3..5", "weak": "5 6 7"})


def test_what_is_typed_stands_on_the_map_at_once() -> None:
    place = form("place", case())
    kept = typed(place, [("wet", "3:30..5"), ("weak", "4 5"), ("weld", "9")])
    drawn = place.drawn(kept, place.found(kept))
    assert [spot.name for spot in drawn.spots if spot.mark == WEAK] == ["n4", "n5"]
    assert [stretch.mark for stretch in drawn.stretches] == [WET, WELD]


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("wet", "13", "'13' is no place on a clock; write 1 to 12, or with minutes as 4:30"),
        ("weak", "17", "there is no fastener 17; the joint has 1 to 16"),
        ("weak", "five", "'five' is no count; write a whole number"),
    ],
)
def test_a_place_that_is_none_is_refused_at_its_line(name: str, text: str, sentence: str) -> None:
    place = form("place", case())
    (line,) = (line for line in place.lines({}) if line.name == name)
    with pytest.raises(ReplyError) as said:
        place.put({}, line, text, "inch", Ways())
    assert str(said.value) == sentence


def test_the_fasteners_are_counted_first_where_no_family_has_them() -> None:
    place = form("place", case(axle=None))
    assert [line.name for line in place.lines({})] == ["count", "shape", "wet", "weld"]
    assert "weak" in [line.name for line in place.lines({"count": "14"})]
    with pytest.raises(ReplyError, match="what that is held against"):
        place.entries({"count": "14", "wet": "3"})
