"""The ring while it is tightened: its order, its passes, and how many of them stand in the log."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.case import Case, Record
from leakdx.diagrams.order import order_lines
from leakdx.explain.fastening import passes_done, ring_of, usual_ring
from leakdx.mechanics.given import MeasureError
from tests.shipped import knowledge, trade


def test_the_ring_of_a_known_axle_has_its_torques_pass_by_pass_and_dowels_first() -> None:
    assert usual_ring(knowledge(), "onyx_single") == "16"
    ring = ring_of(knowledge(), "onyx_single", "16 dowels 3, 11")
    assert ring.order[:2] == (3, 11)
    assert ring.torques[0] == "68 lb-ft (92 N·m)"
    assert ring.torques[2:] == ("225 lb-ft (305 N·m)", "225 lb-ft (305 N·m), once round clockwise")
    assert ring.hour(1) == "12"
    assert ring.hour(5) == "3"


def test_without_an_axle_no_torque_is_made_up() -> None:
    assert usual_ring(knowledge(), None) == ""
    ring = ring_of(knowledge(), None, "14")
    assert ring.torques[0] == f"{trade().passes.shares[0]:.0%} of the torque in the axle's manual"


@given(count=st.integers(6, 24), columns=st.integers(56, 136), rows=st.integers(12, 40))
def test_each_fastener_is_due_once_a_pass_and_stands_on_the_map_once(count: int, columns: int, rows: int) -> None:
    ring = ring_of(knowledge(), None, str(count))
    for turn in range(len(ring.torques)):
        assert sorted(ring.due(turn, place) for place in range(count)) == list(range(1, count + 1))
    due = ring.due(0, 1)
    drawn = order_lines(ring.line, ring.stands, (), {ring.order[0]}, due, columns, rows)
    words = " ".join(drawn).replace(".", " ").replace("*", " ").replace("[", " ").replace("]", " ").split()
    assert len(drawn) <= rows
    if rows >= 20 and columns >= 76:
        assert sorted(map(int, words)) == list(range(1, count + 1))
        assert f"[{due}]" in "".join(drawn)
        assert f"{ring.order[0]}*" in "".join(drawn)


@pytest.mark.parametrize("typed", ["", "some", "16 dowels", "16 dowels 3 3", "16 dowels 40", "2"])
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
