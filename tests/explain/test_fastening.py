"""The ring while it is tightened: its order, its passes, and how many of them stand in the log."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.case import Case, LogEntry, Measurement, Record
from leakdx.diagrams.order import order_map
from leakdx.explain.fastening import passes_done, ring_of, usual_ring
from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.outline import oblong
from tests.shipped import knowledge, trade


def case(axle: str | None = None, *log: LogEntry) -> Case:
    return Case(id="KD-1", complaint="carrier_joint", axle=axle, log=log)


def test_the_ring_of_a_known_axle_has_its_torques_pass_by_pass_and_dowels_first() -> None:
    assert usual_ring(knowledge(), case("onyx_single")) == "16"
    ring = ring_of(knowledge(), "onyx_single", "16 dowels 3, 11")
    assert ring.order[:2] == (3, 11)
    assert ring.torques[0] == "68 lb-ft (92 N·m)"
    assert ring.torques[2:] == ("225 lb-ft (305 N·m)", "225 lb-ft (305 N·m), once round clockwise")
    assert ring.hour(1) == "12"
    assert ring.hour(5) == "3"


def test_without_an_axle_no_torque_is_made_up() -> None:
    assert usual_ring(knowledge(), case()) == ""
    ring = ring_of(knowledge(), None, "14")
    assert ring.torques[0] == f"{trade().passes.shares[0]:.0%} of the torque in the axle's manual"


def test_an_oblong_joint_goes_from_its_middle_outwards_and_stands_on_the_map_as_it_is() -> None:
    ring = ring_of(knowledge(), None, "12 oblong 18 in by 300 mm dowels 2 8")
    assert (ring.line.high, ring.line.wide) == pytest.approx((0.4572, 0.3))
    assert ring.order[:2] == (2, 8)
    assert sorted(ring.order) == list(range(1, 13))
    middle = {number for number in range(1, 13) if ring.hour(number).partition(":")[0] in ("3", "9", "2", "8")}
    assert set(ring.order[2:4]) <= middle
    spots = order_map(ring.line, ring.turns, ring.dowels, (), 2, 76, 15).spots
    assert spots["4"][1] > spots["1"][1] > spots["10"][1]
    assert spots["7"][0] > spots["4"][0] > spots["1"][0]


def test_the_joint_that_was_measured_is_offered_as_it_would_be_typed() -> None:
    readings = {"count": "12", "high": "400 mm", "wide": "300 mm"}
    measured = Measurement(number=1, who="AB", by="fasteners", readings=readings)
    typed = usual_ring(knowledge(), case(None, measured))
    assert ring_of(knowledge(), None, typed).line == oblong(0.4, 0.3)


@given(
    shape=st.sampled_from(["", " oblong 450 mm by 320 mm"]),
    count=st.integers(6, 24),
    columns=st.integers(56, 136),
    rows=st.integers(11, 40),
)
def test_each_fastener_is_due_once_a_pass_and_stands_on_the_map_once(
    shape: str, count: int, columns: int, rows: int
) -> None:
    ring = ring_of(knowledge(), None, f"{count}{shape}")
    for turn in range(len(ring.torques)):
        assert sorted(ring.due(turn, place) for place in range(count)) == list(range(1, count + 1))
    due = ring.due(0, 1)
    drawn = order_map(ring.line, ring.turns, (), {ring.order[0]}, due, columns, rows)
    assert len(drawn.rows) <= rows
    words = re.findall(r"\[?\d+\]?\*?", " ".join(drawn.rows))
    assert sorted(int(word.strip("[]*")) for word in words) == list(range(1, count + 1))
    assert {f"[{due}]", f"{ring.order[0]}*"} <= set(words)


@pytest.mark.parametrize(
    "typed",
    ["", "some", "16 dowels", "16 dowels 3 3", "16 dowels 40", "2", "12 oblong 3 by 4", "12 oblong 1 mm by 3 mm"],
)
def test_what_cannot_be_is_refused(typed: str) -> None:
    with pytest.raises(MeasureError):
        ring_of(knowledge(), None, typed)


def test_passes_count_from_the_last_decision_on() -> None:
    ring = ring_of(knowledge(), None, "14")
    texts = [
        ("step", ring.pass_words(0)),
        ("decided", "x"),
        ("step", "Clean."),
        *(("step", ring.pass_words(n)) for n in (0, 1)),
    ]
    log = tuple(Record(number=n, who="AB", kind=kind, text=text) for n, (kind, text) in enumerate(texts, 1))  # type: ignore[arg-type]
    assert passes_done(Case(id="KD-1", complaint="carrier_joint", log=log)) == 2
