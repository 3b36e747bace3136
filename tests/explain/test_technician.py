"""The technician's text: what must be on it, in which order, and nothing that steers a terminal."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from leakdx.case import Case, Done, LogEntry, Observation, PlacesSeen
from leakdx.explain.customer import customer_text
from leakdx.explain.job import job_parts
from leakdx.explain.technician import DEFERS, technician_text
from leakdx.explain.work import done_words
from leakdx.reasoning.diagnosis import diagnose
from leakdx.reasoning.next_check import spoken
from leakdx.store.casefile import read_case
from tests.hostile import hostile
from tests.shipped import NAMES, diagnosis, flat, knowledge, parts, stopped

BODY = Path(__file__).parents[1] / "cases"


def text_of(name: str, width: int = 80) -> str:
    return technician_text(*parts(name), width)


@pytest.mark.parametrize("name", NAMES)
def test_every_case_within_its_width_and_without_escapes(name: str) -> None:
    for width in (40, 80, 100):
        made = text_of(name, width)
        assert max(map(len, made.splitlines())) <= width
        assert made.isprintable() or set(re.findall(r"[^\x20-\x7e\xa0-\uffff]", made)) == {"\n"}


@pytest.mark.parametrize("name", NAMES)
def test_safety_comes_first_and_the_manual_last(name: str) -> None:
    made, answers = text_of(name), diagnosis(name).answers
    what_to_do = ["DECISION"] if answers.decision.do != "look_further" else []
    what_to_do += ["NEXT CHECK"] if answers.next_check else []
    marks = ["TO DRIVE", *(["\nHOLD"] if answers.holds else []), "WHAT IT LOOKS LIKE", *what_to_do, "REPAIRS"]
    places = [made.index(mark) for mark in marks]
    assert places == sorted(places)
    assert flat(answers.fit_to_drive.reason) in flat(made)
    assert all(flat(hold.text) in flat(made) for hold in answers.holds)
    assert flat(DEFERS) in flat(made)


@pytest.mark.parametrize("name", NAMES)
def test_no_id_is_shown_where_there_is_a_name(name: str) -> None:
    known = knowledge()
    kinds = (known.causes, known.repairs, known.checks, known.signs, known.rules, known.zones, known.findings)
    ids = {id for kind in kinds for id in kind if "_" in id or "." in id}
    assert ids & set(re.findall(r"[a-z_.]+", text_of(name))) == set()


def test_what_was_brought_about_before_is_not_done_again() -> None:
    """An oiled brake keeps the truck in, so where oil comes out first is looked at after the drive that was made."""
    wet, dry = ("carrier_joint", "wheel_seal"), ("wheel_seal",)
    log: list[LogEntry] = [
        PlacesSeen(number=1, who="AB", wet=wet),
        Observation(number=2, who="AB", sign="brake_oiled", answer="yes"),
        Done(number=3, who="AB", act="washed"),
        Done(number=4, who="AB", act="driven"),
        PlacesSeen(number=5, who="AB", wet=dry, dry=("carrier_joint",)),
    ]
    driven = diagnose(knowledge(), Case(id="X", complaint="carrier_joint", log=tuple(log)))
    (look,) = [check for check in driven.plan.checks if check.check == "origin_look"]
    check = spoken(driven.planner, look)
    assert done_words(driven, check).startswith("joint washed and dry; driven since it was cleaned.")
    washed = diagnose(knowledge(), Case(id="X", complaint="carrier_joint", log=(log[2],)))
    (look,) = [check for check in washed.plan.checks if check.check == "origin_look"]
    assert done_words(washed, spoken(washed.planner, look)).startswith("joint washed and dry.")


@pytest.mark.parametrize("name", NAMES)
def test_cautions_stand_at_their_step(name: str) -> None:
    made, answers = diagnosis(name), diagnosis(name).answers
    if answers.decision.do != "repair":
        return
    text = flat(text_of(name))
    job = text[text.index("THE JOB") :]
    steps = [row.step for part in job_parts(made, answers.repairs[0].actions) for row in part.rows]
    at = 0
    for step, following in zip(steps, [*steps[1:], None], strict=True):
        at = job.index(flat(step.do), at)
        end = len(job) if following is None else job.index(flat(following.do), at + 1)
        for id in step.cautions:
            caution = knowledge().cautions[id]
            _, _, again = job[at:end].partition("as above - ")
            assert flat(caution.text) in job[at:end] or caution.name in again, step.do
        assert step.hold is None or flat(step.hold) in job[at:end]


@pytest.mark.parametrize("name", NAMES)
def test_steps_only_where_it_is_to_be_repaired(name: str) -> None:
    assert ("THE JOB" in text_of(name)) == (diagnosis(name).answers.decision.do == "repair")


@pytest.mark.parametrize("name", NAMES)
def test_the_next_check_is_one_block_with_its_cautions(name: str) -> None:
    check = diagnosis(name).answers.next_check
    if check is None:
        return
    made = flat(text_of(name))
    block = made[made.index("NEXT CHECK") : made.index("REPAIRS")]
    assert flat(check.question) in block
    assert all(flat(step) in block for step in check.how)
    cautions = [knowledge().cautions[id] for id in check.cautions]
    assert all(flat(caution.text) in block for caution in cautions)
    assert all(knowledge().openings[o].name in block for o in check.opens)


def test_a_clear_case_reads_like_a_colleagues_answer() -> None:
    made = flat(text_of("01"))
    for said in (
        "KD-0401 - Tractor 11, rear drive axle - 412 000 km, regional haul",
        'Driver: "There is always a spot under the middle of the axle on Mondays."',
        "FIT TO DRIVE ONLY WITH A RECHECK",
        "Where pinion seal - nearly certain",
        "Cause pinion seal worn - nearly certain",
        "For a ring of flung oil round the yoke: yes +",
        "Against how far the level is below the hole as it came in: at the -",
        "DECISION repair",
        "A. Replace the pinion seal expected",
        "[HOLD ____] Marks made on yoke, shaft and nut.",
        "Recheck: After 24 hours or 500 miles.",
        "! Never hammer a yoke on or off.",
    ):
        assert said in made


def test_holds_say_what_is_still_to_be_written_down() -> None:
    made = flat(text_of("13"))
    assert 'breather blown through and level read. Still to do: "blow through the breather".' in made


def test_a_look_further_prices_the_repairs_but_prints_no_steps() -> None:
    made = text_of("08")
    assert "REPAIRS  if it had to be decided now" in made
    assert "What each answer would change:" in made
    assert "does not fix:" in made


def test_a_release_has_a_date() -> None:
    made = flat(text_of("09"))
    assert "nothing to repair now: release it with a recheck date" in made
    assert re.search(r"in the same order by 2026-\d\d-\d\d", made)


def test_stop_and_ask_names_the_rules_and_that_it_may_be_none_of_these() -> None:
    made = flat(technician_text(*stopped()))
    assert "DECISION stop and ask the axle maker" in made
    assert "The rules leave no repair for the metal. - rule: A cracked or leaking casting is not welded shut" in made
    assert "it could be none of these: 31 %" in made
    assert "THE JOB" not in made


def test_two_leaks_at_once_are_said() -> None:
    assert "more than one at once is the likeliest story" in flat(text_of("05"))


def test_what_was_put_right_since_is_not_said_to_be_possible() -> None:
    case = read_case(BODY / "246-pressure-finds-the-pores.yaml", knowledge())
    found = (knowledge(), case, diagnose(knowledge(), case))
    made = flat(technician_text(*found))
    assert "was so too, and is over by now: breather blocked or its hose pinched 9" in made
    assert "more than one at once when it came in is the likeliest story" in made
    told = flat(customer_text(*found))
    assert "When it came in it had this too, and that is over by now (about 9 in 10): the axle's air vent" in told


def test_without_rules_nothing_is_judged_held_or_barred() -> None:
    bare = replace(knowledge(), rules={}, hash="")
    case = diagnosis("01").case
    made = technician_text(bare, case, diagnose(bare, case))
    assert "FIT TO DRIVE: NOT JUDGED YET" in made
    assert not any(head in made for head in ("\nHOLD", "BARRED BY RULE", "TAKE CARE", "(rule:"))


def test_hostile_text_does_no_harm() -> None:
    case = hostile(diagnosis("01").case)
    made = technician_text(knowledge(), case, diagnose(knowledge(), case))
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]", made)
    assert "<script>alert(1)</script>" in flat(made)
    assert max(map(len, made.splitlines())) <= 80


BODY = Path(__file__).parent.parent / "cases"


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (
            "112-painted-breather-young-bead",
            "Seen breather blocked or its hose pinched - proved; that it leaks by itself",
        ),
        ("217-packed-hole-and-a-hollow-face", "Seen housing face out of flat - proved"),
        (
            "617-no-lock-says-the-card",
            "Proved air forced in by the differential lock's cylinder, though all else speaks against it",
        ),
    ],
)
def test_what_is_proved_stands_before_what_is_likely_or_says_what_speaks_against_it(file: str, said: str) -> None:
    case = read_case(BODY / f"{file}.yaml", knowledge())
    made = flat(technician_text(knowledge(), case, diagnose(knowledge(), case)))
    assert said in made
    assert (made.index(said) < made.index("Cause ")) == said.startswith("Seen")
