"""Cases taken in all or none, and two made one, in both stores."""

from typing import Any

import pytest
from msgspec import structs
from sqlalchemy import select

from leakdx.case import Record
from leakdx.errors import CaseError, StorageError
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.search import Wanted, find
from leakdx.store.database.tables import cases, entries
from leakdx.store.database.transfer import merge, take_in
from tests.store.database.stores import SIX, a_case, grown

SIGNED: dict[str, Any] = {"who": "CD", "bay": "2", "note": "begun twice"}


def counts(store: CaseStore) -> tuple[int, int]:
    with store.database.reading() as connection:
        return tuple(len(connection.execute(select(t)).all()) for t in (cases, entries))  # type: ignore[return-value]


def test_new_ones_are_taken_in_known_ones_grow_and_what_is_behind_changes_nothing(url: str) -> None:
    store, short, long = open_store(url), a_case("A"), grown(a_case("A"), "more")
    assert [t.added for t in take_in(store, [short, a_case("B")], SIX)] == [3, 3]
    assert [(t.new, t.added) for t in take_in(store, [long, short], SIX)] == [(False, 1), (False, 0)]
    assert store.case("a", SIX) == long
    assert store.kept("A").head == 1


def test_what_a_longer_case_does_not_say_of_its_truck_stays_and_a_head_alone_is_left(url: str) -> None:
    store = open_store(url)
    store.begin(structs.replace(a_case("A"), truck={"year": "2019"}))
    silent = structs.replace(grown(a_case("A"), "more"), unit="Tractor 18", story="", truck={"colour": "red"})
    take_in(store, [silent], SIX)
    now = store.case("A", SIX)
    assert (now.unit, now.story, now.truck) == ("Tractor 18", a_case().story, {"year": "2019", "colour": "red"})
    (taken,) = take_in(store, [structs.replace(now, unit="Tractor 19")], SIX)
    assert (taken.added, taken.differs) == (0, True)
    assert store.case("A", SIX) == now
    assert not take_in(store, [now], SIX)[0].differs


@pytest.mark.parametrize("last", ["differs", "odd id"])
def test_of_several_all_are_taken_in_or_none(url: str, last: str) -> None:
    store = open_store(url)
    store.begin(grown(a_case("A"), "mine"))
    wrong = grown(a_case("A"), "theirs") if last == "differs" else a_case("../A")
    before = counts(store)
    with pytest.raises(StorageError, match="from entry 4 on" if last == "differs" else "looks like a file"):
        take_in(store, [a_case("B"), a_case("C"), wrong], SIX)
    assert counts(store) == before


def test_two_cases_become_one_and_stay_as_they_were_closed(url: str) -> None:
    store = open_store(url)
    for id in ("A", "B"):
        store.begin(a_case(id))
    made = merge(store, ("A", "B"), "C", SIX, SIGNED)
    assert store.case("C", SIX) == made
    assert len(made.log) == 6
    for id in ("A", "B"):
        case = store.case(id, SIX)
        assert case.log[:3] == a_case().log
        assert case.log[3] == Record(
            number=4, who="CD", bay="2", kind="closed", text="not known", note="merged into C begun twice"
        )
    assert {row.id: row.merged_into for row in find(store, Wanted())} == {"A": "C", "B": "C", "C": None}
    assert [row.id for row in find(store, Wanted(is_open=True))] == ["C"]


def test_what_is_made_of_a_closed_case_and_an_open_one_is_open(url: str) -> None:
    store = open_store(url)
    closed = Record(number=4, who="AB", kind="closed", text="held")
    store.begin(a_case("A"))
    store.begin(structs.replace(a_case("B"), log=(*a_case().log, closed)))
    made = merge(store, ("A", "B"), "C", SIX, SIGNED)
    assert made.closed is None
    assert made.log[-1] == Record(
        number=8, who="CD", bay="2", kind="reopened", text="A was open when the two were merged"
    )
    assert [row.id for row in find(store, Wanted(is_open=True))] == ["C"]
    store.begin(structs.replace(a_case("D"), log=(*a_case().log, closed)))
    store.begin(structs.replace(a_case("E"), log=(*a_case().log, closed)))
    assert merge(store, ("D", "E"), "F", SIX, SIGNED).closed == "held"
    assert {row.id: row.outcome for row in find(store, Wanted(is_open=False))} == {
        **dict.fromkeys("BDEF", "held"),
        "A": "not known",
    }


@pytest.mark.parametrize(
    ("pair", "id", "says"),
    [
        (("A", "a"), "C", "cannot be merged with itself"),
        (("A", "B"), "b", "there is a case 'b'"),
        (("A", "B"), "x.yaml", "looks like a file"),
        (("A", "D"), "C", "two units"),
    ],
)
def test_a_merge_that_cannot_be_leaves_everything_as_it_was(
    url: str, pair: tuple[str, str], id: str, says: str
) -> None:
    store = open_store(url)
    for case in (a_case("A"), a_case("B"), structs.replace(a_case("D"), unit="Tractor 18")):
        store.begin(case)
    before = counts(store)
    with pytest.raises((StorageError, CaseError), match=says):
        merge(store, pair, id, SIX, SIGNED)
    assert counts(store) == before
