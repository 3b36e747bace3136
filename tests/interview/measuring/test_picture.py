"""The picture of a case's flange: what the log says of places, and nothing of before the joint was closed."""

import math

from msgspec.structs import replace

from leakdx.case import Comeback, Done, LogEntry, PlacesSeen
from leakdx.diagrams.flangemap import READ, STRETCHED, WEAK
from leakdx.diagrams.places import LOOSE, Flange, said
from leakdx.interview.measuring.picture import flange_of, flange_svg
from leakdx.mechanics.places import clock
from tests.hostile import hostile
from tests.interview.measuring.by_hand import case
from tests.interview.measuring.test_offer import GAPS, measured
from tests.shipped import knowledge

RING = {
    "thread": "5/8-11", "grade": "8", "torque": "225 lb-ft",
    "audit": "225 220 230 210 90 0 80 220 222 225 219 400 224 221 lb-ft",
}  # fmt: skip
OBLONG = {"high": "400 mm", "wide": "320 mm"}
WET = PlacesSeen(number=1, who="AB", wet=(knowledge().complaint,), arc=(10.5, 1))
LOG = (
    WET,
    measured(2, "fasteners", RING),
    measured(3, "flatness", {**GAPS, **OBLONG}),
    measured(4, "flatness", {"face": "carrier", "blade": "5 thou", "enters": "6", "stays_out": "12 3 9", **OBLONG}),
    measured(5, "place", {"wet": "10:30..1", "weld": "2", **OBLONG}),
)


def drawn(*log: LogEntry) -> Flange:
    """Of an axle of no family."""
    return flange_of(knowledge(), replace(case(*log), axle=None))


def test_all_that_the_log_says_of_places_stands_on_it() -> None:
    made = drawn(*LOG)
    assert made.wet is not None
    assert said(made.wet) == "10:30 to 1"
    assert not made.line.is_round
    assert made.has_size
    marks = {dot.name: dot.mark for dot in made.dots if dot.mark != READ}
    assert marks == {"5": WEAK, "6": LOOSE, "7": WEAK, "12": STRETCHED}
    assert [name for name, _ in made.others] == ["weld"]
    housing, carrier = made.faces
    assert [(h.said, h.low) for h in housing.heights] == [("0", False), ("0.002", False), ("0.009", True), ("0", False)]
    assert housing.what == "gaps under the straight edge (in)"
    assert carrier.what == "where a blade of 5 thou goes in"
    assert [(clock(h.turn), h.said, h.low) for h in carrier.heights] == [
        ("6", "in", True), ("12", "no", False), ("3", "no", False), ("9", "no", False)
    ]  # fmt: skip


def test_the_dial_shows_what_was_typed_and_where_the_face_is_lowest() -> None:
    dial = measured(2, "flatness", {"face": "housing", "dial": "12=0 3=8 6=-1 9=8 thou", "radius": "180 mm"})
    made = drawn(dial)
    assert [(h.said, h.low) for h in made.faces[0].heights] == [
        ("0", True),
        ("8", False),
        ("-1", True),
        ("8", False),
    ]  # the plane through them tilts
    assert (made.line.is_round, made.line.high) == (True, 0.36)


def test_nothing_stands_on_it_of_before_the_joint_was_closed() -> None:
    made = drawn(*LOG, Comeback(number=6, who="AB", place="carrier_joint"))
    assert (made.wet, made.others, made.faces) == (None, (), ())
    assert all(dot.mark == READ for dot in made.dots)


def test_fasteners_stand_where_they_were_named_and_weak_ones_may_be_typed() -> None:
    told = {"wet": "2..4", "weak": "2 3", "clock": "12 2 4 6 8 10"}
    made = drawn(measured(1, "place", told))
    assert [clock(dot.turn) for dot in made.dots] == ["12", "2", "4", "6", "8", "10"]
    assert [dot.name for dot in made.dots if dot.mark == WEAK] == ["2", "3"]


def test_what_cannot_be_worked_out_is_left_out_and_nothing_known_is_a_bare_ring() -> None:
    broken = (
        measured(1, "fasteners", {"audit": "no number"}),
        measured(2, "place", {"wet": "2", "high": "9999 m", "wide": "1 mm"}),
    )
    made = drawn(*broken)
    assert (made.dots, made.faces, made.has_size) == ((), (), False)
    assert drawn(Done(number=1, who="AB", act="drained")) == Flange(made.line)


def test_an_axle_of_a_known_family_brings_its_fasteners_and_its_size() -> None:
    made = flange_of(knowledge(), case())
    family = knowledge().axles[case().axle or ""].values
    assert (len(made.dots), made.has_size) == (round(family["fastener_count"].value), True)


def test_one_whole_picture_is_the_same_each_time_whatever_is_typed() -> None:
    odd = hostile(case(*LOG))
    first, second = (flange_svg(odd, flange_of(knowledge(), odd)) for _ in range(2))
    assert first == second
    assert "<script" not in first
    assert math.isclose(drawn(*LOG).line.high, 0.4)
