"""Two cases of one truck as one: begun twice at the counter and in the bay, or a comeback that nobody knew for one."""

from datetime import UTC, datetime

from msgspec import structs

from leakdx.case import Case, LogEntry, Withdrawal
from leakdx.clean import clean_line
from leakdx.errors import CaseError

_LONG_AGO = datetime(1, 1, 2, tzinfo=UTC)


def merged(one: Case, other: Case, id: str, *, same_truck: bool = False) -> Case:
    """Both logs as one in the order of time; the head is that of ``one``, with what it does not say from ``other``.

    An entry without a time stays behind the one before it in its own log. Raises CaseError where the two cannot be
    of one truck: another axle or shop, or another unit unless ``same_truck``.
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
    numbers = {(log, entry.number): n for n, (_, log, entry) in enumerate(rows, start=1)}
    return Case(
        id=id,
        complaint=one.complaint,
        axle=one.axle or other.axle,
        shop=one.shop or other.shop,
        unit=one.unit or other.unit,
        story="\n".join(dict.fromkeys(story for story in (one.story, other.story) if story)),
        truck={**other.truck, **one.truck},
        log=tuple(_renumbered(entry, log, numbers) for _, log, entry in rows),
    )


def _timed(case: Case, log: int) -> list[tuple[datetime, int, LogEntry]]:
    """Each entry with the time it stands at: never before that of the entry above it."""
    found, time = [], _LONG_AGO
    for entry in case.log:
        if entry.at is not None:
            time = max(time, entry.at.astimezone(UTC))
        found.append((time, log, entry))
    return found


def _renumbered(entry: LogEntry, log: int, numbers: dict[tuple[int, int], int]) -> LogEntry:
    number = numbers[log, entry.number]
    if isinstance(entry, Withdrawal):
        return structs.replace(entry, number=number, entry=numbers[log, entry.entry])
    return structs.replace(entry, number=number)
