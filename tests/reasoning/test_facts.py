"""Facts from a log: which answer speaks, what readings say about a limit, and what does not fit is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.case import Case, Done, Observation, PlacesSeen, Reading, Told
from leakdx.errors import CaseError, LeakdxError
from leakdx.reasoning.facts import BEYOND, BOTH_SIDES, CLOSE, WITHIN, Fact, given_facts, slot_fault, verdicts
from leakdx.reasoning.timeline import SignReading, timeline
from tests.reasoning.workshop import truck, workshop

SHOP = workshop()
LIMIT = SHOP.signs["flatness"].measure
assert LIMIT is not None


def facts_of(case: Case) -> dict[Fact, tuple[int, ...]]:
    return dict(given_facts(SHOP, timeline(SHOP, case)))


def saw(number: int, sign: str, answer: str, sure: bool = True) -> Observation:
    return Observation(number=number, who="AB", sign=sign, answer=answer, sure="sure" if sure else "fairly")


def test_every_kind_of_entry_is_a_fact_with_its_entries() -> None:
    log = (
        saw(1, "crust", "yes", sure=False),
        saw(2, "pits", "no"),
        Told(number=3, who="AB", group="closed_by", answer="us"),
        Reading(number=4, who="AB", sign="flatness", value="0.009", unit="in"),
        Done(number=5, who="AB", act="fill_up"),
        Done(number=6, who="AB", act="fill_up"),
    )
    assert facts_of(truck(*log, axle="plain")) == {
        Fact("act", "fill_up"): (5, 6),
        Fact("complaint", "joint"): (),
        Fact("history", "closed_by", "us"): (3,),
        Fact("history", "sealing", "sheet"): (),
        Fact("open", "apart"): (2,),
        Fact("reading", "flatness", BEYOND): (4,),
        Fact("sign", "crust", "yes", sure=False): (1,),
        Fact("sign", "pits", "no"): (2,),
    }


def test_a_sign_speaks_by_its_latest_epoch() -> None:
    log = (
        saw(1, "crust", "yes"),
        saw(2, "level", "yes"),
        Done(number=3, who="AB", act="washed"),
        saw(4, "crust", "no"),
    )
    facts = facts_of(truck(*log))
    assert Fact("sign", "crust", "no") in facts
    assert Fact("sign", "crust", "yes") not in facts
    assert facts[Fact("sign", "level", "yes")] == (2,)


@pytest.mark.parametrize("seen", ["wet.joint", "origin.joint"])
@pytest.mark.parametrize("later", ["wet.joint", "origin.joint"])
def test_what_was_wet_is_no_longer_said_once_it_was_seen_dry_after_a_wash(seen: str, later: str) -> None:
    acts = (Done(number=2, who="AB", act="washed"), Done(number=3, who="AB", act="driven"))
    wet = Fact("sign", seen, "yes")
    assert wet in facts_of(truck(saw(1, seen, "yes"), *acts))
    assert wet in facts_of(truck(saw(1, seen, "yes"), *acts, saw(4, "wet.seal", "no")))
    assert wet not in facts_of(truck(saw(1, seen, "yes"), *acts, saw(4, later, "no")))
    assert wet in facts_of(truck(saw(1, later, "no"), *acts, saw(4, seen, "yes")))


def test_hours_of_the_clock_are_a_fact_of_what_is_wet_and_not_of_what_is_dry() -> None:
    look = PlacesSeen(number=1, who="AB", wet=("joint",), dry=("seal",), arc=(5, 7))
    assert {fact for fact in facts_of(truck(look)) if fact.kind == "arc"} == {Fact("arc", "wet.joint")}


def test_dry_beside_wet_in_one_look_takes_nothing_back() -> None:
    facts = facts_of(truck(saw(1, "origin.joint", "no"), saw(2, "wet.joint", "yes")))
    assert {Fact("sign", "origin.joint", "no"), Fact("sign", "wet.joint", "yes")} <= facts.keys()


def test_readings_of_an_earlier_epoch_speak_no_more_once_it_is_read_again() -> None:
    def read(number: int, value: str) -> Reading:
        return Reading(number=number, who="AB", sign="flatness", value=value, unit="in")

    facts = facts_of(truck(read(1, "0.012"), Done(number=2, who="AB", act="washed"), read(3, "0.002")))
    assert {fact.answer for fact in facts if fact.kind == "reading"} == {WITHIN}


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        ([("0.002", "in")], {WITHIN}),
        ([("0.005", "in")], {WITHIN, CLOSE}),
        ([("0.13", "mm")], {WITHIN, CLOSE}),
        ([("0.14", "mm")], {BEYOND}),
        ([("0.006", "in")], {BEYOND}),
        ([("0.0053", "in")], {BEYOND, CLOSE}),
        ([("0.005", "in"), ("0.005", "in")], {WITHIN}),
        ([("0.0053", "in"), ("0.0053", "in")], {BEYOND}),
        ([("0.005", "in"), ("0.0053", "in")], {BEYOND, CLOSE, BOTH_SIDES}),
        ([("0.002", "in"), ("0.006", "in")], {BEYOND, BOTH_SIDES}),
        ([("0.004", "in"), ("0.006", "in"), ("0.005", "in")], {BEYOND}),
        ([("0.005", "in"), ("0.005", "in"), ("0.005", "in")], {WITHIN}),
    ],
)
def test_what_readings_say_about_the_limit(readings: list[tuple[str, str]], says: set[str]) -> None:
    rows = [SignReading(i, "flatness", value, unit, 0) for i, (value, unit) in enumerate(readings)]
    assert LIMIT is not None
    assert set(verdicts(LIMIT, rows)) == says


@given(st.lists(st.integers(0, 200), min_size=1, max_size=4), st.integers(0, 200))
def test_a_further_reading_never_lifts_a_stop(typed: list[int], further: int) -> None:
    assert LIMIT is not None
    rows = [SignReading(i, "flatness", f"{value / 10000:.4f}", "in", 0) for i, value in enumerate([*typed, further])]
    if BEYOND in verdicts(LIMIT, rows[:-1]):
        assert BEYOND in verdicts(LIMIT, rows)


def test_a_reading_of_the_wrong_kind_is_one_sentence() -> None:
    for sign, unit, says in (("flatness", "psi", "a pressure"), ("crust", "in", "takes no reading")):
        log = Reading(number=1, who="AB", sign=sign, value="0.006", unit=unit)
        with pytest.raises(LeakdxError, match=says):
            facts_of(truck(log))


def test_a_complaint_that_is_no_place_is_one_sentence() -> None:
    with pytest.raises(CaseError, match="The knowledge has no complaint 'roof'"):
        facts_of(Case(id="KD-1", complaint="roof"))


@pytest.mark.parametrize(
    ("fact", "says"),
    [
        (Fact("sign", "crust", "yes"), None),
        (Fact("reading", "flatness", CLOSE), None),
        (Fact("sign", "crusts", "yes"), "The knowledge has no sign 'crusts'."),
        (Fact("sign", "crust", "even"), "The sign 'crust' is no or yes, not 'even'."),
        (Fact("history", "sealing", "glue"), "The history 'sealing' is paste or sheet, not 'glue'."),
        (
            Fact("reading", "flatness", "bad"),
            "The reading 'flatness' is within or beyond or close or both_sides, not 'bad'.",
        ),
        (Fact("finding", "finding9"), "The knowledge has no finding 'finding9'."),
        (Fact("established", "gremlins"), "The knowledge has no established 'gremlins'."),
    ],
)
def test_slots_are_checked(fact: Fact, says: str | None) -> None:
    assert slot_fault(SHOP, fact) == says
