"""Diagnoses that were shown, made again with their own knowledge: do they come out the same?"""

from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec import Struct, structs
from sqlalchemy import select

from leakdx.errors import CaseError, StorageError, TooWideError
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import parse_case
from leakdx.store.database import rows
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import Kept
from leakdx.store.database.knowledges import kept_knowledge
from leakdx.store.database.shown import Shown, shown_of
from leakdx.store.database.tables import heads

_NEAR = 1e-9
"""Numbers that differ by no more come from another machine's arithmetic, not from another reasoning."""
MOST_DIFFERENCES = 20


class Replayed(Struct, frozen=True):
    """A shown diagnosis made again. ``wrong``: why it cannot be; ``differences``: what is not as it was, at most 20."""

    shown: Shown
    differences: tuple[str, ...] = ()
    wrong: str = ""

    @property
    def same(self) -> bool:
        """Whether it came out as it was."""
        return not self.differences and not self.wrong


def replay(store: CaseStore, id: str) -> Iterator[Replayed]:
    """Make each diagnosis that was shown again, with its own knowledge and as much of the log as there was."""
    kept = store.kept(id)
    for shown in shown_of(store.database, id):
        try:
            again = _again(store, kept, shown)
        except (CaseError, StorageError, TooWideError) as error:
            yield Replayed(shown, wrong=str(error).splitlines()[0])
        else:
            yield Replayed(shown, tuple(_differences("", msgspec.json.decode(shown.answers), again))[:MOST_DIFFERENCES])


def _again(store: CaseStore, kept: Kept, shown: Shown) -> Any:
    """The answers as they come out now, as JSON values."""
    knowledge = kept_knowledge(store.database, shown.knowledge)
    query = select(heads.c.text).where(heads.c.case_key == kept.key, heads.c.revision == shown.head)
    with store.database.reading() as connection:
        head = connection.execute(query).scalar_one()
    text = rows.file_text(head, kept.bodies[: shown.entries])
    case = parse_case(text.encode(), f"case {kept.id}", knowledge)
    if shown.shop is not None:
        case = structs.replace(case, shop=shown.shop)
    return msgspec.json.decode(msgspec.json.encode(diagnose(knowledge, case).answers))


def _differences(path: str, then: Any, today: Any) -> Iterator[str]:
    """What differs, as "where: then -> today". The program's version alone is no difference of the answer."""
    if path == "version":
        return
    if isinstance(then, dict) and isinstance(today, dict):
        for key in sorted({*then, *today}):
            yield from _differences(f"{path}.{key}" if path else key, then.get(key), today.get(key))
    elif isinstance(then, list) and isinstance(today, list) and len(then) == len(today):
        for number, (old, new) in enumerate(zip(then, today, strict=True), start=1):
            name = new.get("id", number) if isinstance(new, dict) else number
            yield from _differences(f"{path}.{name}", old, new)
    elif isinstance(then, float | int) and isinstance(today, float | int) and not isinstance(then, bool):
        if abs(then - today) > _NEAR * max(1.0, abs(then)):
            yield f"{path}: {then:.6g} -> {today:.6g}"
    elif then != today:
        yield f"{path}: {_short(then)} -> {_short(today)}"


def _short(value: Any) -> str:
    text = msgspec.json.encode(value).decode()
    return text if len(text) <= 60 else text[:59] + "…"
