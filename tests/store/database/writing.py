"""A process that writes into a case of its own, and now and then into one that others write into too."""

from leakdx.errors import ChangedError
from leakdx.store.database.casestore import open_store
from tests.store.database.stores import SIX, grown

SHARED = "KD-1"
SELDOM = 8
"""Of so many entries of its own the first goes into the common case too."""


def write(url: str, name: str, each: int) -> None:
    """Write so many entries, in order; who has not seen the last one of the common case reads it and tries again."""
    store = open_store(url)
    mine, shared = store.home(f"own-{name}", SIX), store.home(SHARED, SIX)
    for number in range(each):
        mine.save(grown(mine.case, f"{name} {number}", name))
        while number % SELDOM == 0:
            try:
                shared.save(grown(shared.case, f"{name} {number}", name))
                break
            except ChangedError:
                shared.reload()
