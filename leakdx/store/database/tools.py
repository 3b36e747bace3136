"""Measuring tools of the shop: which cases hold readings by one, and what follows where it is found to be bad."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from msgspec import Struct, structs
from sqlalchemy import select

from leakdx.case import Case, Doubt
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.doubt import tools_named
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import append_to, parsed, read_kept
from leakdx.store.database.search import utc
from leakdx.store.database.tables import cases, entries
from leakdx.store.database.words import damaged


class Relying(Struct, frozen=True):
    """A case with readings by a tool: the numbers of those entries; the case ``before`` and ``after`` the doubt."""

    id: str
    numbers: tuple[int, ...]
    before: Case
    after: Case


def relying_on(store: CaseStore, tool: str, since: date | None) -> dict[int, tuple[int, ...]]:
    """Key of each case with readings by this tool, and their entries; ``since``: written down on that day or later.

    Cases that were merged into another are left out: their readings stand in that one too.
    """
    wanted = tools_named(tool)
    with store.database.reading() as connection:
        named = connection.execute(select(entries.c.tool).where(entries.c.tool != "").distinct()).scalars()
        with_it = [text for text in named if wanted and wanted <= tools_named(text)]
        query = (
            select(entries.c.case_key, entries.c.number)
            .join(cases, cases.c.key == entries.c.case_key)
            .where(entries.c.tool.in_(with_it), cases.c.merged_into.is_(None))
            .order_by(entries.c.case_key, entries.c.number)
        )
        if since is not None:
            query = query.where(entries.c.written >= utc(since))
        found: dict[int, tuple[int, ...]] = {}
        for row in connection.execute(query):
            found[row.case_key] = (*found.get(row.case_key, ()), row.number)
    return found


def distrust(
    store: CaseStore, keys: dict[int, tuple[int, ...]], doubt: Doubt, knowledge: Knowledge, *, write: bool
) -> Iterator[Relying]:
    """Write the doubt behind the log of each case, one case after the other, and give it before and after.

    ``doubt.number`` is set for each. A case that holds the very doubt already gets no second one.
    """
    for key, numbers in keys.items():
        with store.database.writing() if write else store.database.reading() as connection:
            id = connection.execute(select(cases.c.id).where(cases.c.key == key)).scalar_one()
            kept = read_kept(connection, id, to_write=write)
            if kept is None or isinstance(kept, str):
                raise damaged(store.database.place, kept or f"case {id}")
            case = parsed(kept, knowledge)
            after = _doubted(case, doubt)
            if write and after is not case:
                append_to(connection, store.name, kept, after, after.log[len(case.log) :])
        yield Relying(id, numbers, case, after)


def _doubted(case: Case, doubt: Doubt) -> Case:
    """The case with the doubt behind its log, unless the last doubt of that tool says the same."""
    same = [e for e in case.standing if isinstance(e, Doubt) and _thing(e) == _thing(doubt)]
    if same and same[-1].chance == doubt.chance:
        return case
    about: dict[str, Any] = {"number": len(case.log) + 1}
    return structs.replace(case, log=(*case.log, structs.replace(doubt, **about)))


def _thing(doubt: Doubt) -> tuple[str, str]:
    return doubt.doubt, doubt.tool.casefold()
