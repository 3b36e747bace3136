"""What was typed some time ago is taken up as far as it can be so today."""

from leakdx.interview.measuring.form import OBLONG, Form
from tests.interview.measuring.by_hand import case, form, typed

ROWS = [
    ("thread", "5/8-11"), ("grade", "8"), ("torque", "225"), ("turning", "adhesive"), ("bond", "20"), ("count", "12"),
    ("shape", OBLONG), ("high", "400mm"), ("wide", "300mm"), ("n1", "225"), ("n2", "0"), ("tool", "wrench 4"),
]  # fmt: skip


def audit(axle: str | None) -> Form:
    return form("fasteners", case(axle=axle))


def test_on_the_same_truck_all_of_it_in_whatever_order_it_was_typed() -> None:
    kept = typed(audit(None), ROWS)
    assert audit(None).still(kept) == kept
    backwards = dict(reversed(list(kept.items())))
    assert audit(None).still(backwards) == kept


def test_what_the_truck_no_longer_asks_or_could_not_be_is_left_out() -> None:
    kept = typed(audit(None), ROWS)
    now = audit("onyx_single").still({**kept, "grade": "9", "n3": "much", "n99": "225 lb-ft"})
    assert now == {name: kept[name] for name in ("turning", "bond", "n1", "n2", "tool")}


def test_a_place_that_was_read_twice_keeps_both_readings() -> None:
    face = form("flatness carrier", case())
    kept = typed(face, [("12", "0.002"), ("12", "12=0.003"), ("3", "0.001")])
    assert "12#2" in kept
    assert face.still({**kept, "5#2": "0.001 in"}) == kept
