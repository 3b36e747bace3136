"""Two cases of one truck as one: begun twice at the counter and in the bay, or a comeback that nobody knew for one."""

from collections.abc import Collection
from datetime import UTC, datetime
from typing import Any

from msgspec import structs

from leakdx.case import Case, Comeback, Done, LogEntry, Record, Withdrawal
from leakdx.clean import clean_line
from leakdx.errors import CaseError
from leakdx.knowledge.model import Knowledge
from leakdx.store.entries import closings_first

_NEITHER = 2
"""In place of 0 or 1: an entry of neither log."""
_LONG_AGO = datetime(1, 1, 2, tzinfo=UTC)


_Row = tuple[datetime, int, LogEntry]
"""An entry of log 0 or 1, and the time it stands at."""


def merged(
    one: Case, other: Case, id: str, knowledge: Knowledge, signed: dict[str, Any], *, same_truck: bool = False
) -> Case:
    """Both logs as one in the order of time; the head is that of ``one``, with what it does not say from ``other``.

    An entry without a time stays behind the one before it in its own log. Where one was begun after the other had been
    closed the truck came back: an entry that says so, signed as ``signed`` (who, at, bay, note), opens the new episode;
    and where one would otherwise close what the other still works on, an entry behind all opens it again. Raises
    CaseError where the two cannot be of one truck: another axle or shop, or another unit unless ``same_truck``.
    """
    units = (clean_line(one.unit).casefold(), clean_line(other.unit).casefold())
    if all(units) and units[0] != units[1] and not same_truck:
        wrong = f"cases {one.id} and {other.id} are of two units ({one.unit}; {other.unit})"
        raise CaseError(f"{wrong}; where it is one truck all the same, say --same-truck")
    for field in ("axle", "shop"):
        said = (getattr(one, field), getattr(other, field))
        if all(said) and said[0] != said[1]:
            wrong = f"cases {one.id} and {other.id} cannot be of one truck: {field} is {said[0]} and {said[1]}"
            raise CaseError(f"{wrong}; set it right in one of them first")
    rows = sorted((*_timed(one, 0), *_timed(other, 1)), key=lambda row: row[0])  # stable: each log keeps its order
    rows = _with_return(rows, (one, other), knowledge, signed)
    numbers = {(log, entry.number): n for n, (_, log, entry) in enumerate(rows, start=1)}
    made = Case(
        id=id,
        complaint=one.complaint,
        axle=one.axle or other.axle,
        shop=one.shop or other.shop,
        unit=one.unit or other.unit,
        story="\n".join(dict.fromkeys(story for story in (one.story, other.story) if story)),
        truck={**other.truck, **one.truck},
        log=tuple(_renumbered(entry, n, log, numbers) for n, (_, log, entry) in enumerate(rows, start=1)),
    )
    return _open_where_one_is(made, one, other, signed)


def _with_return(rows: list[_Row], pair: tuple[Case, Case], knowledge: Knowledge, signed: dict[str, Any]) -> list[_Row]:
    """The rows, and before the first of a case that was begun after the other one had ended, that the truck came back.

    Not where that case was opened again itself: then it tells of the return. Without a closing repair nothing can have
    come back; the case is just open again.
    """
    for earlier, later in ((0, 1), (1, 0)):
        gone = pair[earlier].withdrawn
        ended = max((at for at, row in enumerate(rows) if _ends(row, earlier, gone)), default=len(rows))
        begun = next((at for at, row in enumerate(rows) if row[1] == later), -1)
        if pair[earlier].closed is None or ended > begun or rows[ended][0] == _LONG_AGO:
            continue
        time, _, first = rows[begun]
        why = f"case {pair[later].id} was begun after case {pair[earlier].id} had been closed"
        about: dict[str, Any] = {**signed, "number": 0, "at": first.at, "note": why}
        done = [entry.act for entry in pair[earlier].standing if isinstance(entry, Done)]
        entry: LogEntry = Comeback(place=pair[later].complaint, **about)
        if closings_first(knowledge, done):
            entry = Record(kind="reopened", text=why, **{**about, "note": ""})
        return [*rows[:begun], (time, _NEITHER, entry), *rows[begun:]]
    return rows


def _ends(row: _Row, wanted: int, gone: Collection[int]) -> bool:
    """Whether a row is a closing of that log that stands."""
    _, log, entry = row
    return log == wanted and isinstance(entry, Record) and entry.kind == "closed" and entry.number not in gone


def _open_where_one_is(made: Case, one: Case, other: Case, signed: dict[str, Any]) -> Case:
    """The merged case, opened again where the closing of one case would close what the other still works on."""
    if made.closed is None or (one.closed and other.closed):
        return made
    number = len(made.log) + 1
    why = f"{one.id if one.closed is None else other.id} was open when the two were merged"
    entry = Record(kind="reopened", text=why, **{**signed, "number": number, "note": ""})
    return structs.replace(made, log=(*made.log, entry))


def _timed(case: Case, log: int) -> list[_Row]:
    """Each entry with the time it stands at: never before that of the entry above it."""
    found, time = [], _LONG_AGO
    for entry in case.log:
        if entry.at is not None:
            time = max(time, entry.at.astimezone(UTC))
        found.append((time, log, entry))
    return found


def _renumbered(entry: LogEntry, number: int, log: int, numbers: dict[tuple[int, int], int]) -> LogEntry:
    if isinstance(entry, Withdrawal):
        return structs.replace(entry, number=number, entry=numbers[log, entry.entry])
    return structs.replace(entry, number=number)
