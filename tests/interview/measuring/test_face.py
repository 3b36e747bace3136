"""A face typed place by place: what is asked, what is kept, what it comes to, and what the case then holds."""

import pytest

from leakdx.case import Done, Measurement
from leakdx.diagrams.flangemap import FAR, LOW, READ, UNREAD
from leakdx.interview.measuring.form import Form
from leakdx.interview.question import ReplyError
from leakdx.reasoning.worked_out import work_out
from leakdx.store.settings import Ways
from tests.interview.measuring.by_hand import ROUND_THE_CLOCK, case, form, typed
from tests.shipped import knowledge

HOUSING = "flatness housing"


@pytest.fixture(scope="module")
def face() -> Form:
    return form(HOUSING, case())


def gaps(face: Form, *values: str) -> dict[str, str]:
    return typed(face, list(zip(ROUND_THE_CLOCK, values, strict=False)))


def test_what_is_typed_is_kept_as_a_case_file_has_it(face: Form) -> None:
    kept = gaps(face, "0", "0.002", "0.003", "0.004..0.005", "0.006", "0.002", "0", "0.001")
    (entry,) = face.entries({**kept, "tool": "feeler 12", "calibrated": "2026-01-12"})
    assert isinstance(entry, Measurement)
    assert (entry.by, entry.tool, entry.calibrated) == ("flatness", "feeler 12", "2026-01-12")
    assert entry.readings == {
        "face": "housing",
        "gaps": "12=0 1:30=0.002 3=0.003 4:30=0.004..0.005 6=0.006 7:30=0.002 9=0 10:30=0.001 in",
    }
    (worked,) = work_out(knowledge(), "onyx_single", entry)
    assert worked.typed == ("0.006", "in")


def test_it_is_said_as_it_is_typed_how_sure_it_is(face: Form) -> None:
    good, bad = (face.found(gaps(face, "0", "0.001", "0", value)) for value in ("0.001", "0.012"))
    assert good.said[0] == "Housing face out of flat: under 1 % that it is beyond 0.005 in"
    assert bad.said[0] == "Housing face out of flat: over 99 % that it is beyond 0.005 in"
    assert bad.said[1] == "0.012 in, by gaps under a straight edge at 4 places"
    assert bad.marks == {"4:30": FAR}


def test_the_low_place_and_what_is_read_stand_on_the_map(face: Form) -> None:
    kept = gaps(face, "0", "0.001", "0.012", "0")
    drawn = face.drawn(kept, face.found(kept))
    assert [spot.mark for spot in drawn.spots] == [READ, READ, FAR, READ, *[UNREAD] * 4]
    assert [stretch.mark for stretch in drawn.stretches] == [LOW]


def test_readings_in_two_units_are_put_in_one_without_passing_the_limit_by_it(face: Form) -> None:
    (entry,) = face.entries(gaps(face, "0.005 in", "0.13 mm", "5 thou", "0"))
    assert isinstance(entry, Measurement)
    assert entry.readings["gaps"] == "12=0.127 1:30=0.13 3=0.127 4:30=0 mm"
    (worked,) = work_out(knowledge(), "onyx_single", entry)
    assert worked.value is not None
    assert worked.value.beyond is False


def test_a_place_is_read_again_or_another_one_is_meant(face: Form) -> None:
    kept = gaps(face, "0", "0.006")
    line = next(line for line in face.lines(kept) if line.name == "3")
    kept = dict(face.put(kept, line, "1:30=0.004", "inch", Ways()))
    kept = dict(face.put(kept, line, "6=0.001", "inch", Ways()))
    assert kept == {"12": "0 in", "1:30": "0.006 in", "1:30#2": "0.004 in", "6": "0.001 in"}
    assert [line.label for line in face.lines(kept) if "(2)" in line.label] == ["1:30 (2)"]
    kept["9"] = "0 in"
    (entry,) = face.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings["gaps"] == "12=0 1:30=0.006 1:30=0.004 6=0.001 9=0 in"
    with pytest.raises(ReplyError, match="'2:15' is none of the places"):
        face.put(kept, line, "2:15=0.001", "inch", Ways())


def test_one_blade_is_tried_round_the_face(face: Form) -> None:
    kept = typed(face, [("way", "3"), ("blade", "0.13 mm"), ("12", "s"), ("3", "1"), ("6", "2"), ("9", "2")])
    (entry,) = face.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings == {"face": "housing", "blade": "0.13 mm", "enters": "3", "stays_out": "12 6 9"}


def test_heights_are_read_at_the_fasteners_of_an_oblong_joint_that_no_family_knows() -> None:
    face = form(HOUSING, case(axle=None))
    joint = [("count", "6"), ("shape", "2"), ("high", "400 mm"), ("wide", "300 mm")]
    heights = [(f"n{n}", f"{n} thou") for n in range(1, 7)]
    kept = typed(face, [("way", "dial"), ("places", "fasteners"), *joint, *heights])
    (entry,) = face.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings == {
        "face": "housing",
        "count": "6",
        "high": "400 mm",
        "wide": "300 mm",
        "dial": "n1=1 n2=2 n3=3 n4=4 n5=5 n6=6 thou",
    }
    assert len(face.drawn(kept, face.found(kept)).spots) == 6
    assert not face.drawn(kept, face.found(kept)).line.is_round


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("5", "'5 in' is more than any face is out (6.35 mm); look at number and unit"),
        ("0.005..0.004", "'0.005..0.004 in' goes down; write the blade that enters first"),
    ],
)
def test_what_no_face_can_be_is_refused_at_its_line(face: Form, text: str, sentence: str) -> None:
    with pytest.raises(ReplyError) as said:
        gaps(face, text)
    assert str(said.value) == sentence


def test_with_nothing_read_it_says_so_and_writes_nothing(face: Form) -> None:
    assert face.found({}).wrong.startswith("no place is read yet")
    with pytest.raises(ReplyError):
        face.entries({})


def test_the_tool_is_asked_once_for_both_faces() -> None:
    face = form(HOUSING, case(Done(number=1, who="AB", act="carrier_out")))
    (entry,) = face.entries({**gaps(face, "0", "0.001", "0", "0"), "tool": "feeler 12", "calibrated": "2026-01-12"})
    other = form("flatness carrier", case(entry))
    assert other.begun() == {"tool": "feeler 12", "calibrated": "2026-01-12"}
    assert form("fasteners", case(entry)).begun() == {}
