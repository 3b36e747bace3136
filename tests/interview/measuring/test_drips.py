"""Drips and stains as they are typed."""

import pytest

from leakdx.case import Measurement
from leakdx.interview.question import ReplyError
from tests.interview.measuring.by_hand import case, form, typed


def test_drops_in_a_time_are_a_rate_and_how_wet_it_is() -> None:
    drips = form("leak", case())
    kept = typed(drips, [("drops", "12"), ("time", "10")])
    found = drips.found(kept)
    assert found.said[0] == "How much comes while you watch: drops form and fall over 99 %"
    assert "mL" in found.said[1]
    (entry,) = drips.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings == {"drops": "12", "time": "10 min"}


def test_a_stain_is_asked_for_its_area_and_what_it_is_on() -> None:
    drips = form("leak", case())
    kept = typed(drips, [("what", "2"), ("stain", "30"), ("on", "card"), ("time", "1 h")])
    assert [line.name for line in drips.lines(kept)][:4] == ["what", "stain", "on", "time"]
    (entry,) = drips.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings == {"stain": "30 in^2", "on": "card", "time": "1 h"}


@pytest.mark.parametrize("rows", [[], [("drops", "3")], [("time", "10")]])
def test_half_of_it_is_no_rate(rows: list[tuple[str, str]]) -> None:
    drips = form("leak", case())
    kept = typed(drips, rows)
    assert drips.found(kept).wrong.startswith("a rate needs")
    with pytest.raises(ReplyError):
        drips.entries(kept)
