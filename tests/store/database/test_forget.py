"""Whose truck it was is taken out for good, in every version and in the file itself; what was seen stands."""

from msgspec import structs
from sqlalchemy import select

from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.database.casestore import open_store
from leakdx.store.database.check import check
from leakdx.store.database.forget import forget
from leakdx.store.database.search import Wanted, find
from leakdx.store.database.tables import heads
from tests.store.database.stores import SIX, a_case, grown

OWNERS = ("Zebra Haulage", "Quagga", "ZQ 77")


def test_no_version_and_no_byte_of_the_file_names_the_owner_any_more(url: str) -> None:
    store = open_store(url)
    store.begin(structs.replace(a_case(), unit=OWNERS[0], story=f"{OWNERS[1]} drove it", truck={"plate": OWNERS[2]}))
    home = store.home("KD-1", SIX)
    home.save(structs.replace(grown(home.case, "seen"), unit=f"{OWNERS[0]} 2"))
    before = diagnose(SIX, home.case)
    made = forget(store, "kd-1", SIX)
    again = open_store(url).case("KD-1", SIX)
    assert made == again
    assert (again.unit, again.story, again.truck) == ("", "", {})
    assert again.log == home.case.log
    assert diagnose(SIX, again).causes == before.causes
    with store.database.reading() as connection:
        texts = " ".join(connection.execute(select(heads.c.text)).scalars())
    assert not any(word in texts for word in OWNERS)
    assert find(store, Wanted(words=("zebra",))) == ()
    assert check(store.database.place).faults == ()
    path = store.database.place.path
    for file in path.parent.iterdir() if path is not None else ():
        data = file.read_bytes().lower()
        assert not any(word.lower().encode() in data for word in OWNERS), file
