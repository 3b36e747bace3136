"""A measuring tool found to be bad: every case with its readings is found, doubted once, and no other."""

from datetime import date, datetime
from typing import Any

import pytest
from msgspec import structs
from sqlalchemy import update

from leakdx.case import Doubt, LogEntry, Observation, Reading
from leakdx.reasoning.diagnosis import diagnose
from leakdx.reasoning.doubt import standing_doubts
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.tables import entries
from leakdx.store.database.tools import distrust, relying_on
from leakdx.store.database.transfer import merge
from tests.store.database.stores import SIX, a_case

BAD = Doubt(number=0, who="AB", doubt="torque_wrench", chance=1.0, tool="w12")


def audited(*tools: str) -> tuple[LogEntry, ...]:
    """One audit by each of these tools."""
    about: dict[str, Any] = {"who": "AB", "sign": "torque_pattern", "answer": "even"}
    return tuple(Observation(number=n, tool=tool, **about) for n, tool in enumerate(tools, start=1))


@pytest.fixture
def store(url: str) -> CaseStore:
    made = open_store(url)
    for id, tools in {"A": ("W12",), "B": ("W13", "gauge 2, w12"), "C": ("W13",), "D": ("W1",), "E": ("",)}.items():
        made.begin(structs.replace(a_case(id), log=audited(*tools)))
    return made


def test_readings_by_a_tool_are_found_in_every_case_by_its_whole_name(store: CaseStore) -> None:
    assert relying_on(store, "W12", None) == {"A": (1,), "B": (2,)}
    assert relying_on(store, "W", None) == {}
    assert relying_on(store, " ", None) == {}


def test_each_case_is_doubted_once_and_diagnosed_again_without(store: CaseStore) -> None:
    for _ in range(2):
        for id in relying_on(store, "w12", None):
            _, after = distrust(store, id, BAD, SIX)
            kept = store.case(id, SIX)
            assert kept == after
            assert [e for e in kept.log if isinstance(e, Doubt)] == [structs.replace(BAD, number=len(kept.log))]
    with_it, without = store.case("A", SIX), structs.replace(a_case("A"), log=())
    assert [c.leaking for c in diagnose(SIX, with_it).causes] == pytest.approx(
        [c.leaking for c in diagnose(SIX, without).causes], abs=1e-9
    )
    assert store.case("C", SIX).log == audited("W13")


def test_a_tool_that_is_found_bad_again_after_a_calibration_is_doubted_anew(url: str) -> None:
    store = open_store(url)
    read: dict[str, Any] = {"who": "AB", "sign": "housing_face_flatness", "value": "0.006", "unit": "in", "tool": "w12"}
    store.begin(structs.replace(a_case("A"), log=(Reading(number=1, calibrated="2026-01-12", **read),)))
    bad = structs.replace(BAD, at=datetime(2026, 3, 9, 16, 0))
    home = store.home("A", SIX)
    for number, when in ((2, bad), (4, structs.replace(bad, at=datetime(2026, 4, 1)))):
        distrust(store, "A", when, SIX)
        distrust(store, "A", when, SIX)
        again = Reading(number=number + 1, calibrated="2026-03-10", **read)
        case = home.reload()
        assert len(case.log) == number
        (doubt,) = standing_doubts(SIX, case.standing)
        assert doubt.entries == tuple(range(1, number, 2))
        home.save(structs.replace(case, log=(*case.log, again)))


def test_only_readings_since_a_day_count_and_no_merged_case(store: CaseStore) -> None:
    with store.database.writing() as connection:
        connection.execute(update(entries).where(entries.c.case_key == 1).values(written="2020-01-01T00:00:00+00:00"))
    assert list(relying_on(store, "W12", date(2026, 1, 1)).values()) == [(2,)]
    merge(store, ("A", "B"), "M", SIX, {"who": "AB"})
    assert {id: len(numbers) for id, numbers in relying_on(store, "W12", None).items()} == {"M": 2}
