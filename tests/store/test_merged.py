"""Two cases of one truck as one: in the order of time, nothing lost, withdrawals still naming what they withdrew."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from msgspec import structs

from leakdx.case import Case, Comeback, Done, LogEntry, Note, Record, Withdrawal
from leakdx.errors import CaseError
from leakdx.store.merged import merged
from tests.store.database.stores import SIX, a_case
from tests.store.test_casefile import cases

MONDAY = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
SIGNED: dict[str, Any] = {"who": "the one who merges", "bay": "2", "note": "begun twice"}


def noted(*hours: float | None) -> tuple[LogEntry, ...]:
    """A note for each hour after Monday morning; None: without a time."""
    times = [None if hour is None else MONDAY + timedelta(hours=hour) for hour in hours]
    return tuple(Note(number=n, who="AB", at=at, note=f"{n}") for n, at in enumerate(times, start=1))


def test_entries_stand_in_the_order_of_time_and_those_without_one_behind_their_own() -> None:
    one = structs.replace(a_case("A"), log=noted(0, None, 5))
    other = structs.replace(a_case("B"), log=(*noted(1, 4)[:1], Withdrawal(number=2, who="CD", entry=1)))
    made = merged(one, other, "C", SIX, SIGNED)
    assert [getattr(e, "note", "") for e in made.log] == ["1", "2", "1", "", "3"]
    assert made.log[3] == Withdrawal(number=4, who="CD", entry=3)
    assert [entry.number for entry in made.log] == [1, 2, 3, 4, 5]
    assert (made.id, made.story) == ("C", one.story)


@settings(max_examples=100, deadline=None)
@given(one=cases(), other=cases())
def test_nothing_is_lost_and_each_log_keeps_its_order(one: Case, other: Case) -> None:
    other = structs.replace(other, axle=one.axle, shop=one.shop)
    made = merged(one, other, "new", SIX, SIGNED, same_truck=True)
    own = [e for e in made.log if e.who == SIGNED["who"]]
    assert len(own) <= 1
    assert len(made.log) == len(one.log) + len(other.log) + len(own)

    def bare(entry: LogEntry) -> LogEntry:
        return structs.replace(entry, number=0, **({"entry": 0} if isinstance(entry, Withdrawal) else {}))

    rest = [bare(entry) for entry in made.log]
    for case in (one, other):
        position = 0
        for entry in map(bare, case.log):
            position = rest.index(entry, position) + 1
    gone = {entry.entry for entry in made.log if isinstance(entry, Withdrawal)}
    assert all(number < entry.number for entry in made.log if isinstance(entry, Withdrawal) for number in [entry.entry])
    assert len(gone) == sum(isinstance(e, Withdrawal) for case in (one, other) for e in case.log)


@pytest.mark.parametrize(
    ("field", "said"), [("axle", "axle is a and b"), ("shop", "shop is a and b"), ("unit", "of two units")]
)
def test_what_cannot_be_one_truck_is_not_merged(field: str, said: str) -> None:
    one, other = (structs.replace(a_case(value), **{field: value}) for value in ("a", "b"))
    with pytest.raises(CaseError, match=said):
        merged(one, other, "new", SIX, SIGNED)


def test_units_that_differ_in_capitals_and_blanks_are_one_and_others_when_it_is_said() -> None:
    one, other = structs.replace(a_case("a"), unit="Tractor 17"), structs.replace(a_case("b"), unit=" tractor  17")
    assert merged(one, other, "c", SIX, SIGNED).unit == "Tractor 17"
    made = merged(one, structs.replace(other, unit="No 17"), "c", SIX, SIGNED, same_truck=True)
    assert made.unit == "Tractor 17"


def repaired_and_closed(*more: LogEntry, repair: str = "reseal_with_sealant") -> Case:
    """A case of Monday that was resealed, driven, and closed at noon."""
    about: dict[str, Any] = {"who": "AB", "at": MONDAY + timedelta(hours=4)}
    log = (*noted(0), Done(number=2, act=repair, **about), Record(number=3, kind="closed", text="held", **about))
    return structs.replace(a_case("A"), log=(*log, *more))


def begun_after(hours: float) -> Case:
    return structs.replace(a_case("B"), log=noted(hours, hours + 1))


RETURN = Comeback(
    number=4,
    who=SIGNED["who"],
    bay="2",
    at=MONDAY + timedelta(hours=30),
    place="carrier_joint",
    note="case B was begun after case A had been closed",
)


def test_a_case_that_was_begun_after_the_repair_was_closed_is_the_comeback() -> None:
    closed, again = repaired_and_closed(), begun_after(30)
    for pair in ((closed, again), (again, closed)):
        made = merged(*pair, "C", SIX, SIGNED)
        assert made.log[3] == RETURN
        assert [e.number for e in made.log] == [1, 2, 3, 4, 5, 6]
        assert made.closed is None
    ended = structs.replace(again, log=(*again.log, Record(number=3, who="AB", kind="closed", text="not held")))
    assert merged(closed, ended, "C", SIX, SIGNED).closed == "not held"


def test_what_came_back_without_a_repair_that_closed_the_joint_is_open_again() -> None:
    made = merged(repaired_and_closed(repair="washed"), begun_after(30), "C", SIX, SIGNED)
    assert made.log[3] == Record(number=4, who=RETURN.who, bay="2", at=RETURN.at, kind="reopened", text=RETURN.note)


@pytest.mark.parametrize("case", ["worked on before", "opened again itself", "closing withdrawn"])
def test_a_return_is_told_of_once_and_only_where_there_was_one(case: str) -> None:
    one, other = repaired_and_closed(), begun_after(30)
    if case == "worked on before":
        other = begun_after(3)
    elif case == "opened again itself":
        one = repaired_and_closed(Comeback(number=4, who="AB", at=RETURN.at, place="carrier_joint"))
    else:
        one = repaired_and_closed(Withdrawal(number=4, who="AB", entry=3))
    made = merged(one, other, "C", SIX, SIGNED)
    assert [e for e in made.log if e.who == SIGNED["who"] and isinstance(e, Comeback)] == []
    assert made.closed is None
