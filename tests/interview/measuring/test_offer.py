"""What can be measured on a truck now, what it needs first, and what the case knows already on the map."""

import pytest

from leakdx.case import Comeback, Done, Measurement, PlacesSeen, Reading
from leakdx.diagrams.flangemap import LOW, WEAK, WELD, WET
from leakdx.interview.measuring.known import Known
from leakdx.interview.measuring.offer import form_of, offered
from tests.interview.measuring.by_hand import case, form
from tests.shipped import knowledge

OUT = Done(number=1, who="AB", act="carrier_out")
AUDIT = {"grade": "8", "audit": "225 220 230 210 90 0 80 220 222 225 219 228 224 221 223 226 lb-ft"}
GAPS = {"face": "housing", "gaps": "12=0 3=0.002 6=0.009 9=0 in"}


def measured(number: int, by: str, readings: dict[str, str]) -> Measurement:
    return Measurement(number=number, who="AB", by=by, readings=readings)  # type: ignore[arg-type]


def test_everything_that_readings_can_answer_is_offered_once_and_opens() -> None:
    rows = offered(knowledge(), case())
    signs = {id for id, sign in knowledge().signs.items() if sign.measure is not None or sign.worked_out is not None}
    assert sorted(id for row in rows for id in row.signs) == sorted(signs)
    assert len({row.key for row in rows}) == len(rows)
    for row in rows:
        made = form_of(knowledge(), case(), row)
        assert made.lines(made.begun())
        assert made.found({}).wrong or made.found({}).said


def test_what_the_truck_stands_open_for_comes_first() -> None:
    closed, opened = (offered(knowledge(), case(*log)) for log in ((), (Done(number=1, who="AB", act="drained"), OUT)))
    face = next(row for row in closed if row.key == "flatness housing")
    assert "carrier pulled" in face.state
    assert face not in closed[:4]
    assert next(row for row in opened if row.key == "flatness housing").state == "can be taken now"
    assert "Wheels chocked" in face.cautions[0]


def test_what_was_measured_already_is_said_with_its_entries() -> None:
    reading = Reading(number=2, who="AB", sign="housing_temperature", value="90", unit="degC")
    rows = {row.key: row for row in offered(knowledge(), case(measured(1, "fasteners", AUDIT), reading))}
    assert rows["fasteners"].state == "can be taken now; measured in 1 entry: 1"
    assert rows["housing_temperature"].done == (2,)


@pytest.mark.parametrize("closed", [None, Comeback(number=5, who="AB", place="carrier_joint")])
def test_the_map_knows_what_the_case_knows_until_the_joint_was_closed(closed: Comeback | None) -> None:
    log = (
        PlacesSeen(number=1, who="AB", wet=(knowledge().complaint,), arc=(5, 7)),
        measured(2, "fasteners", AUDIT),
        measured(3, "flatness", GAPS),
        measured(4, "place", {"wet": "5..7", "weld": "4"}),
    )
    known = Known(knowledge(), case(*log, *((closed,) if closed else ())))
    if closed:
        assert (known.wet, known.weld, known.weak, list(known.stretches())) == ("", "", (), [])
        return
    assert (known.wet, known.weld, known.weak) == ("5..7", "4", (5, 6, 7))
    assert [stretch.mark for stretch in known.stretches()] == [WET, LOW, WELD]
    drips = form("leak", case(*log))
    assert [spot.name for spot in drips.drawn({}, drips.found({})).spots if spot.mark == WEAK] == ["n5", "n6", "n7"]
