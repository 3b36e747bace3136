"""The generator of very many cases makes a store like any other."""

from leakdx.store.database.casestore import open_store
from leakdx.store.database.check import check
from leakdx.store.database.search import Wanted, find
from tests.store.database.many import case, fill
from tests.store.database.stores import SIX, a_case, grown


def test_it_is_sound_and_can_be_listed_searched_and_gone_on_with(url: str) -> None:
    store = open_store(url)
    fill(store, 300)
    found = check(store.database.place)
    assert (found.cases, found.faults) == (300, ())
    assert store.case("m-000123", SIX) == case(123)
    assert {row.id for row in find(store, Wanted(is_open=True))} == {f"M-{n:06}" for n in range(20, 301, 20)}
    named = {row.id for row in find(store, Wanted(words=("GRAVEL", "wet again"), unit="tractor 12"))}
    assert named == {
        case(n).id
        for n in range(1, 301)
        if "Tractor 12" in case(n).unit
        and all(any(word in text for text in _texts(n)) for word in ("gravel", "wet again"))
    }
    assert named
    store.begin(a_case())
    home = store.home("M-000300", SIX)
    home.save(grown(home.case, "more"))
    assert find(store, Wanted(limit=2))[0].id in ("M-000300", "KD-1")


def _texts(number: int) -> list[str]:
    made = case(number)
    return [made.story, *(entry.note for entry in made.log)]
