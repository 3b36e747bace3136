"""A weld near the joint as it is typed."""

from leakdx.case import Measurement
from tests.interview.measuring.by_hand import case, form, typed

ROWS = [("process", "1"), ("volts", "24"), ("amperes", "120"), ("speed", "8"), ("wall", "10 mm"), ("distance", "1..2")]


def test_what_is_typed_says_whether_the_seal_was_harmed() -> None:
    bead = form("weld", case())
    assert bead.found(typed(bead, ROWS[:3])).wrong == "not typed yet: speed, wall, distance"
    kept = typed(bead, ROWS)
    found = bead.found(kept)
    assert found.said[0].startswith("A weld heated the joint beyond what its seal bears: ")
    assert "the joint got to" in found.said[1].lower()
    (entry,) = bead.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings == {
        "process": "smaw", "volts": "24", "amperes": "120", "speed": "8 in/min", "wall": "10 mm", "distance": "1..2 in",
    }  # fmt: skip


def test_the_nearer_the_surer() -> None:
    bead = form("weld", case())
    said = [bead.found(typed(bead, [*ROWS[:5], ("distance", away)])).said[0] for away in ("5 mm", "12 in")]
    assert "yes over 99 %" in said[0]
    assert "no over 99 %" in said[1]
