"""What was not asked is found by the words that people use."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.interview.search import MOST_FOUND, Search
from tests.shipped import knowledge

SEARCH = Search(knowledge())


def test_everything_that_can_be_written_down_is_found_by_its_own_name() -> None:
    asked = {id for check in knowledge().checks.values() for id in check.reveals}
    entries = {id: e for kind in (knowledge().signs, knowledge().history) for id, e in kind.items() if id in asked}
    for id, entry in {**entries, **knowledge().acts, **knowledge().repairs}.items():
        assert id in [found.id for found in SEARCH.find(entry.name)[:3]], entry.name


@pytest.mark.parametrize("typed", ["bolt", "whine", "weep", "washed", "air vent", "crak"])
def test_a_word_of_the_shop_finds_something(typed: str) -> None:
    assert SEARCH.find(typed)


def test_nothing_typed_lists_what_there_is() -> None:
    assert len(SEARCH.find("")) == MOST_FOUND


@given(st.text())
def test_whatever_is_typed_is_only_searched(typed: str) -> None:
    assert len(SEARCH.find(typed)) <= MOST_FOUND


@pytest.mark.parametrize("typed", ["gasket", "sealant", "pinion seal"])
def test_what_is_seen_or_told_stands_before_what_is_done(typed: str) -> None:
    assert SEARCH.find(typed)[0].kind != "done"
