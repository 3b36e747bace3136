"""A store with very many cases, for trying how it does when a shop has worked for years. All of it invented.

``python -m tests.store.database.many sqlite:///many.db --cases 100000``: written in large transactions through the
same tables; each case has a truck, a story, some entries, and says where it stands.
"""

import argparse
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import islice
from typing import Any

from leakdx.case import Case, LogEntry, Note, Observation, PlacesSeen, Record, Told
from leakdx.store.database import rows
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.tables import cases, entries, heads

FIRST = datetime(2016, 1, 4, 7, 0, tzinfo=UTC)
AT_ONCE = 2_000
CAUSES = ("old_residue", "sealed_over_oil", "breather_blocked", "pinion_seal_worn", None)
WORDS = ("brings gravel", "night shift", "wet again", "after the wash", "the driver is new", "hauls milk")


def fill(store: CaseStore, count: int) -> None:
    """Put so many cases into a store that holds none yet."""
    numbers = iter(range(1, count + 1))
    while part := list(islice(numbers, AT_ONCE)):
        with store.database.writing() as connection:
            connection.execute(cases.insert(), [_case_row(n) for n in part])
            connection.execute(heads.insert(), [_head_row(n) for n in part])
            connection.execute(entries.insert(), [row for n in part for row in _entry_rows(n)])
            if connection.dialect.name == "postgresql":  # keys were given, and the next is drawn
                connection.exec_driver_sql("SELECT setval(pg_get_serial_sequence('cases', 'key'), max(key)) FROM cases")


def case(number: int) -> Case:
    """The case of a number, always the same."""
    about: dict[str, Any] = {"who": "AB" if number % 3 else "CD", "bay": str(number % 4)}
    log: list[LogEntry] = [
        PlacesSeen(number=1, wet=("carrier_joint",), dry=("pinion_seal",), **about),
        Told(number=2, group="sealing_material", answer="sealant", **about),
        Observation(number=3, sign="torque_pattern", answer="even", tool=f"wrench {number % 7}", **about),
        *(Note(number=n, note=f"{WORDS[(number + n) % 6]} {number}", **about) for n in range(4, 5 + number % 4)),
    ]
    if number % 20:
        log.append(Record(number=len(log) + 1, kind="closed", text="held", **about))
    story = WORDS[number % len(WORDS)]
    unit = f"Tractor {number % 900}"
    return Case(id=f"M-{number:06}", complaint="carrier_joint", unit=unit, story=story, log=tuple(log))


def _when(number: int) -> str:
    return (FIRST + timedelta(minutes=50 * number)).isoformat(timespec="seconds")


def _case_row(number: int) -> dict[str, Any]:
    made = case(number)
    when, cause = _when(number), CAUSES[number % len(CAUSES)]
    places = {"began": when, "changed": when, "cause": cause, "zone": "carrier_joint" if cause else None}
    about = {"key": number, "id": made.id, "folded": rows.folded(made.id), "entries": len(made.log), "head": 1}
    return {**about, **places, **rows.drawn_from(made)}


def _head_row(number: int) -> dict[str, Any]:
    return rows.head_row(number, case(number), 1, _when(number))


def _entry_rows(number: int) -> Iterator[dict[str, Any]]:
    return rows.entry_rows(number, case(number).log, "", _when(number))


def main() -> int:
    """Run by hand."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("url")
    asked.add_argument("--cases", type=int, default=100_000)
    args = asked.parse_args()
    fill(open_store(args.url), args.cases)
    return 0


if __name__ == "__main__":
    sys.exit(main())
