"""A redacted case says nothing of whose it is, and diagnoses as before."""

from hypothesis import given, settings
from msgspec import structs

from leakdx.case import Case, Doubt, Note, Observation, Reading, Record
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import case_text
from leakdx.store.redacted import LEFT_OUT, redacted
from tests.store.database.stores import SIX, a_case
from tests.store.test_casefile import cases


@settings(max_examples=100, deadline=None)
@given(case=cases())
def test_it_is_a_case_again_with_the_same_entries_under_the_same_numbers(case: Case) -> None:
    made = redacted(case)
    assert parse_case(case_text(made).encode(), "redacted", SIX) == made
    assert [entry.number for entry in made.log] == [entry.number for entry in case.log]
    assert redacted(made) == made
    assert not any((made.unit, made.story, made.truck))
    assert all(not e.bay and e.note in ("", LEFT_OUT) for e in made.log)


def test_nothing_that_names_anybody_is_left() -> None:
    log = (
        Observation(
            number=1, who="Miller", bay="East", sign="torque_pattern", answer="even", tool="Bob's W12", note="x1"
        ),
        Note(number=2, who="Smith", note="Mr Owner called"),
        Record(number=3, who="Smith", kind="decided", text="Mr Owner agreed"),
        Record(number=4, who="Miller", kind="photo", text="a1" * 32, note="plate.jpg"),
        Record(number=5, who="Miller", kind="recheck", text="dry"),
        Doubt(number=6, who="Smith", doubt="torque_wrench", chance=0.5, tool="BOB'S w12"),
    )
    case = structs.replace(a_case(), unit="Owner 17", story="Owner says", truck={"plate": "AB 1"}, log=log)
    text = case_text(redacted(case))
    for word in ("Miller", "Smith", "Owner", "Bob", "BOB", "plate", "East", "x1", "a1a1"):
        assert word not in text
    made = redacted(case).log
    assert [entry.who for entry in made] == ["A", "B", "B", "A", "A", "B"]
    assert isinstance(made[0], Observation)
    assert isinstance(made[5], Doubt)
    assert made[0].tool == made[5].tool == "tool 1"
    assert isinstance(made[4], Record)
    assert made[4].text == "dry"


def test_it_diagnoses_as_before() -> None:
    case = a_case()
    before, after = diagnose(SIX, case).causes, diagnose(SIX, redacted(case)).causes
    assert before == after


def test_the_twenty_seventh_person_is_not_the_first() -> None:
    log = tuple(Note(number=n, who=f"P{n}", note="x") for n in range(1, 54))
    people = [entry.who for entry in redacted(structs.replace(a_case(), log=log)).log]
    assert len(set(people)) == 53
    assert people[:2] == ["A", "B"]


def test_a_reading_keeps_value_and_certificate() -> None:
    reading = Reading(number=1, who="AB", sign="housing_flatness", value="0.004", unit="in", calibrated="2026-01-12")
    (made,) = redacted(structs.replace(a_case(), log=(reading,))).log
    assert made == structs.replace(reading, who="A")


def test_how_the_truck_stands_is_free_words_and_left_out() -> None:
    stands = Record(number=1, who="AB", kind="state", text="at Mr Owner's yard")
    (made,) = redacted(structs.replace(a_case(), log=(stands,))).log
    assert made == structs.replace(stands, who="A", text="(left out)")
