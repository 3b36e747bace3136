"""Measuring tools of the shop: which cases hold readings by one, and what follows where it is found to be bad."""

from datetime import date
from typing import Any

from msgspec import structs
from sqlalchemy import select

from leakdx.case import Case, Doubt
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.doubt import Look, standing_doubts, tools_named
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import append_to, parsed, read_kept
from leakdx.store.database.search import utc
from leakdx.store.database.tables import cases, entries
from leakdx.store.database.words import damaged


def relying_on(store: CaseStore, tool: str, since: date | None) -> dict[str, tuple[int, ...]]:
    """Id of each case with readings by this tool, and their entries; ``since``: written down on that day or later.

    Cases that were merged into another are left out: their readings stand in that one too.
    """
    wanted = tools_named(tool)
    with store.database.reading() as connection:
        named = connection.execute(select(entries.c.tool).where(entries.c.tool != "").distinct()).scalars()
        with_it = [text for text in named if wanted and wanted <= tools_named(text)]
        query = (
            select(cases.c.id, entries.c.number)
            .join(cases, cases.c.key == entries.c.case_key)
            .where(entries.c.tool.in_(with_it), cases.c.merged_into.is_(None))
            .order_by(entries.c.case_key, entries.c.number)
        )
        if since is not None:
            query = query.where(entries.c.written >= utc(since))
        found: dict[str, tuple[int, ...]] = {}
        for row in connection.execute(query):
            found[row.id] = (*found.get(row.id, ()), row.number)
    return found


def distrust(store: CaseStore, id: str, doubt: Doubt, knowledge: Knowledge) -> tuple[Case, Case]:
    """Write the doubt of a tool behind the log of a case; the case before and after.

    ``doubt.number`` is set here. A case in which a doubt of it casts on the same readings already gets no second one.
    Raises StorageError.
    """
    with store.database.writing() as connection:
        kept = read_kept(connection, id, to_write=True)
        if kept is None or isinstance(kept, str):
            raise damaged(store.database.place, kept or f"case {id}")
        before = parsed(kept, knowledge)
        after = _doubted(knowledge, before, doubt)
        if after is not before:
            append_to(connection, store.name, kept, after, after.log[len(before.log) :])
    return before, after


def _doubted(knowledge: Knowledge, case: Case, doubt: Doubt) -> Case:
    """The case with the doubt behind its log, unless one of that tool says the same of the same readings."""
    about: dict[str, Any] = {"number": len(case.log) + 1}
    made = structs.replace(case, log=(*case.log, structs.replace(doubt, **about)))
    says = [_said(knowledge, each, doubt) for each in (case, made)]
    return case if says[0] == says[1] else made


def _said(knowledge: Knowledge, case: Case, doubt: Doubt) -> list[tuple[float, frozenset[Look]]]:
    """What a case says of the tool of this doubt: how likely it was bad, and of which readings."""
    all_of = standing_doubts(knowledge, case.standing)
    return [(d.chance, d.touches) for d in all_of if (d.of, d.tool.casefold()) == (doubt.doubt, doubt.tool.casefold())]
