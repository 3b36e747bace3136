"""Two cases of one truck as one: in the order of time, nothing lost, withdrawals still naming what they withdrew."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from msgspec import structs

from leakdx.case import Case, LogEntry, Note, Withdrawal
from leakdx.errors import CaseError
from leakdx.store.merged import merged
from tests.store.database.stores import a_case
from tests.store.test_casefile import cases

MONDAY = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def noted(*hours: float | None) -> tuple[LogEntry, ...]:
    """A note for each hour after Monday morning; None: without a time."""
    times = [None if hour is None else MONDAY + timedelta(hours=hour) for hour in hours]
    return tuple(Note(number=n, who="AB", at=at, note=f"{n}") for n, at in enumerate(times, start=1))


def test_entries_stand_in_the_order_of_time_and_those_without_one_behind_their_own() -> None:
    one = structs.replace(a_case("A"), log=noted(0, None, 5))
    other = structs.replace(a_case("B"), log=(*noted(1, 4)[:1], Withdrawal(number=2, who="CD", entry=1)))
    made = merged(one, other, "C")
    assert [getattr(e, "note", "") for e in made.log] == ["1", "2", "1", "", "3"]
    assert made.log[3] == Withdrawal(number=4, who="CD", entry=3)
    assert [entry.number for entry in made.log] == [1, 2, 3, 4, 5]
    assert (made.id, made.story) == ("C", one.story)


@settings(max_examples=100, deadline=None)
@given(one=cases(), other=cases())
def test_nothing_is_lost_and_each_log_keeps_its_order(one: Case, other: Case) -> None:
    other = structs.replace(other, axle=one.axle, shop=one.shop)
    made = merged(one, other, "new", same_truck=True)
    assert len(made.log) == len(one.log) + len(other.log)

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
        merged(one, other, "new")


def test_units_that_differ_in_capitals_and_blanks_are_one_and_others_when_it_is_said() -> None:
    one, other = structs.replace(a_case("a"), unit="Tractor 17"), structs.replace(a_case("b"), unit=" tractor  17")
    assert merged(one, other, "c").unit == "Tractor 17"
    assert merged(one, structs.replace(other, unit="No 17"), "c", same_truck=True).unit == "Tractor 17"
