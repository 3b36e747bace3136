"""The bench behind the screen: knowledge, store and reasoning, on one thread of their own, one thing after another.

Nothing heavy is imported here: the first picture stands before the numerics, the database and the knowledge are
loaded, and typing goes on while they work.
"""

import asyncio
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from leakdx.ui.given import Given

if TYPE_CHECKING:
    from leakdx.knowledge.model import Knowledge
    from leakdx.store.attachments import Attachment
    from leakdx.store.database.casestore import CaseStore
    from leakdx.store.home import CaseHome
    from leakdx.ui.sitting import Sitting

_T = TypeVar("_T")
CASES_LISTED = 200


class CaseLine(NamedTuple):
    """One case of the list. ``changed``: ISO, UTC. ``stopped``: what it stood at when it was last left, in words.

    ``clocks``: those of its bead that run, as of now.
    """

    id: str
    unit: str
    entries: int
    changed: str
    outcome: str | None
    stopped: str
    clocks: tuple[str, ...] = ()


class Bench:
    """Where the work is done. Every public method may be awaited by any screen; errors are LeakdxErrors."""

    def __init__(self, given: Given) -> None:
        self.given = given
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="bench")
        self._behind = ThreadPoolExecutor(1, thread_name_prefix="behind")
        self._knowledge: Knowledge | None = None
        self._store: CaseStore | None = None

    async def run(self, work: Callable[..., _T], *given: object) -> _T:
        """Do it on the bench, after all that was asked for before."""
        return await asyncio.get_running_loop().run_in_executor(self._thread, lambda: work(*given))

    async def run_beside(self, work: Callable[[], _T]) -> _T:
        """Do long work that changes nothing on a thread of its own, so that answers go on meanwhile.

        What is still under way when the app ends is dropped.
        """
        loop = asyncio.get_running_loop()
        done: asyncio.Future[_T] = loop.create_future()

        def tell(tell_it: Callable[..., None], said: object) -> None:
            if not done.done():
                tell_it(said)

        def beside() -> None:
            with suppress(RuntimeError):  # the loop may be closed by now
                try:
                    made = work()
                except Exception as error:
                    loop.call_soon_threadsafe(tell, done.set_exception, error)
                else:
                    loop.call_soon_threadsafe(tell, done.set_result, made)

        threading.Thread(target=beside, name="beside", daemon=True).start()
        return await done

    def behind(self, work: Callable[[], None]) -> None:
        """Do short work in the order given, on a thread of its own that nothing long holds up; ``stop`` waits."""
        self._behind.submit(work)

    def stop(self) -> None:
        """Take no more work; what is under way comes to its end."""
        self._thread.shutdown(wait=False, cancel_futures=True)
        self._behind.shutdown()

    async def cases(self, words: str = "", *, closed: bool = False) -> tuple[CaseLine, ...]:
        """Cases of the store, the last changed first; a store that is not there yet holds none."""
        return await self.run(self._cases, words, closed)

    async def begin(self, who: str) -> "Sitting":
        """A new case in the store."""
        return await self.run(self._begin, who)

    async def go_on(self, id: str, who: str) -> "Sitting":
        """The case of an id, to go on with where it was left."""
        return await self.run(self._go_on, id, who)

    async def practise(self, who: str) -> "Sitting":
        """The practice case; nothing of it is kept."""
        return await self.run(self._practise, who)

    def kept_file(self, sha256: str) -> "Attachment | None":
        """A photo or file that the store keeps; None where it has none. On the bench's own thread only."""
        from leakdx.store.database.photos import kept_file

        return kept_file(self._store, sha256) if self._store is not None else None

    # -- on the thread -----------------------------------------------------------------------------------

    def knowledge(self) -> "Knowledge":
        """The knowledge with the shop's settings, loaded once. Raises KnowledgeError, SettingsError."""
        if self._knowledge is None:
            self._knowledge = self.given.knowledge()
        return self._knowledge

    def _open_store(self, *, make: bool) -> "CaseStore | None":
        """The store; None where there is none yet and none is to be made."""
        from leakdx.store.database.casestore import open_store
        from leakdx.store.database.place import store_place

        if self._store is None:
            path = store_place(self.given.store).path
            if not make and path is not None and not path.exists():
                return None
            self._store = open_store(self.given.store, make=make)
        return self._store

    def _cases(self, words: str, closed: bool) -> tuple[CaseLine, ...]:
        from leakdx.store.database.search import Wanted, find

        store = self._open_store(make=False)
        if store is None:
            return ()
        wanted = Wanted(is_open=None if closed else True, words=tuple(words.split()), limit=CASES_LISTED)
        rows = sorted(find(store, wanted), key=lambda row: row.outcome is not None)
        name, running = self.knowledge().name, self._clocks(store, [row.id for row in rows if row.outcome is None])
        return tuple(
            CaseLine(
                row.id,
                row.unit,
                row.entries,
                row.changed,
                row.outcome,
                name(row.cause) if row.cause else "",
                running.get(row.id, ()),
            )
            for row in rows
        )

    def _clocks(self, store: "CaseStore", ids: list[str]) -> dict[str, tuple[str, ...]]:
        """Case -> the clocks that run in it. A case that cannot be read shows none; opening it says why."""
        from leakdx.errors import LeakdxError
        from leakdx.explain.clocks import clocks
        from leakdx.store.database.search import with_records

        running: dict[str, tuple[str, ...]] = {}
        for id in sorted(with_records(store, ids)):
            with suppress(LeakdxError):
                found = clocks(self.knowledge(), store.case(id, self.knowledge()), datetime.now())
                running[id] = tuple(clock.words for clock in found)
        return running

    def _begin(self, who: str) -> "Sitting":
        store = self._open_store(make=True)
        assert store is not None  # it was made
        return self._sitting(store.begin_home(self.knowledge(), source=self.given.source), who, new=True)

    def _go_on(self, id: str, who: str) -> "Sitting":
        store = self._open_store(make=True)
        assert store is not None
        return self._sitting(store.home(store.meant(id), self.knowledge(), self.given.source), who)

    def _practise(self, who: str) -> "Sitting":
        from leakdx.store.home import Unkept
        from leakdx.training.practice import practice_case

        return self._sitting(Unkept(practice_case(self.knowledge())), who, practice=True)

    def _sitting(self, home: "CaseHome", who: str, *, new: bool = False, practice: bool = False) -> "Sitting":
        from leakdx.interview.session import Interview
        from leakdx.ui.sitting import Sitting

        ways = self.given.ways()
        interview = Interview(self.knowledge(), home, who, bay=ways.bay(self.given.bay), ways=ways)
        return Sitting(self, interview, new=new, practice=practice)
