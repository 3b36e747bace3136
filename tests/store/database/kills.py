"""Processes that write to a store are killed, and what they were told is saved is looked for.

``python -m tests.store.database.kills --each 200`` kills so many on each store and prints what was found.
"""

import argparse
import os
import random
import tempfile
import time
from collections.abc import Iterator
from itertools import cycle, islice
from pathlib import Path

from msgspec import Struct
from sqlalchemy import func, select

from leakdx.folders import DATA
from leakdx.store.database import migrate
from leakdx.store.database.casestore import CaseStore, open_store
from leakdx.store.database.check import check
from leakdx.store.database.connect import as_it_stands, backup_folder
from leakdx.store.database.place import store_place
from leakdx.store.database.tables import cases, diagnoses, files
from tests.store.database import doomed
from tests.store.database.processes import PROCESSES
from tests.store.database.stores import KINDS, SIX, a_case, fresh_url, old_store

POINTS = (
    ("append", doomed.RANDOM),
    ("append", doomed.AFTER_BEGIN),
    ("append", doomed.BEFORE_COMMIT),
    ("import", doomed.RANDOM),
    ("import", doomed.AFTER_BEGIN),
    ("import", doomed.BETWEEN),
    ("import", doomed.BEFORE_COMMIT),
    ("bundle", doomed.RANDOM),
    ("bundle", doomed.BETWEEN),
    ("bundle", doomed.BEFORE_COMMIT),
    ("backup", doomed.RANDOM),
    ("backup", doomed.BEFORE_NAME),
    ("migrate", doomed.RANDOM),
    ("migrate", doomed.BEFORE_COMMIT),
)
"""What is written, and where it is killed."""
LONGEST_LIFE = 60.0
"""Seconds within which a process must have come to its point."""
_RANDOM_LIFE = 0.5
"""Seconds at most from its first word to a kill at random."""


class Killed(Struct, frozen=True):
    """One kill. ``saved``: what had been said to be saved; ``wrong``: a sentence for each promise that was broken."""

    what: str
    point: str
    saved: int
    wrong: tuple[str, ...]


def kills(kind: str, number: int, folder: Path, seed: int = 0) -> Iterator[Killed]:
    """Kill so many processes that write to one store of a kind, one after the other, at each point in turn."""
    chance = random.Random(seed)
    url = fresh_url(kind, folder)
    open_store(url).begin(a_case("KD-1"))
    for what, point in islice(cycle(POINTS), number):
        yield (_migration if what == "migrate" else _kill)(kind, url, what, point, folder, chance)


def _kill(kind: str, url: str, what: str, point: str, folder: Path, chance: random.Random) -> Killed:
    backups = folder / f"backups-{chance.getrandbits(48):x}"
    backups.mkdir(parents=True)
    before = _state(open_store(url))
    saved = _life_and_death(url, what, point, backups, chance)
    wrong = list(check(store_place(url)).faults)
    after = _state(open_store(url))
    if what == "append":
        reached = before[0] + saved
        wrong += [] if reached <= after[0] <= reached + 1 else [f"{reached} entries were saved, {after[0]} are there"]
        wrong += _remarks(open_store(url))
    elif what in ("import", "bundle"):
        new, letters, shown = (now - then for now, then in zip(after[1:], before[1:], strict=True))
        reached = saved * doomed.AT_ONCE
        whole = new in (reached, reached + doomed.AT_ONCE)
        wrong += [] if whole else [f"{reached} cases were taken in, {new} are there"]
        goes_with = new if what == "bundle" else 0
        complete = letters == shown == goes_with
        wrong += [] if complete else [f"with {new} cases {letters} files and {shown} shown diagnoses were taken in"]
    else:
        named = sorted(backups.glob("[!.]*.db"))
        wrong += [] if saved <= len(named) <= saved + 1 else [f"{saved} backups were written, {len(named)} are there"]
        wrong += [fault for path in named for fault in check(store_place(f"sqlite:///{path}")).faults]
    return Killed(what, point, saved, tuple(wrong))


def _migration(kind: str, _url: str, what: str, point: str, folder: Path, chance: random.Random) -> Killed:
    """An old store, which after the kill is either still old or up to date; then it is opened."""
    url = fresh_url(kind, folder)
    kept = [a_case(f"O-{n}") for n in range(20)]
    old_store(url, 1, kept)
    _life_and_death(url, what, point, folder, chance)
    place = store_place(url)
    wrong = list(check(place).faults)
    if point == doomed.BEFORE_COMMIT and _version(url) != 1:
        wrong.append("it was half migrated")
    store = open_store(url)
    wrong += [] if [store.case(case.id, SIX) for case in kept] == kept else ["a case is lost"]
    stem = place.path.stem if place.path else place.url.database
    backups = list(backup_folder(place).glob(f"{stem}-version-1-*.db"))
    wrong += [] if backups else ["there is no backup"]
    wrong += [fault for path in backups for fault in check(store_place(f"sqlite:///{path}")).faults]
    return Killed(what, point, 0, tuple(wrong + list(check(place).faults)))


def _life_and_death(url: str, what: str, point: str, folder: Path, chance: random.Random) -> int:
    """Start a process that writes and see it killed; the last number that it said was saved."""
    saved, child = PROCESSES.Pipe(duplex=False)
    process = PROCESSES.Process(target=doomed.write_until_killed, args=(url, what, point, child, folder))
    process.start()
    child.close()
    last = 0
    try:
        last = saved.recv()
        if point == doomed.RANDOM:
            time.sleep(chance.uniform(0, _RANDOM_LIFE))
            process.kill()
        process.join(LONGEST_LIFE)
        assert process.exitcode is not None, f"{what} {point}: is still alive"
        assert process.exitcode == -9 or what == "migrate", f"{what} {point}: ended with {process.exitcode}"
        while saved.poll():
            last = saved.recv()
    except EOFError:  # all that it said was read
        pass
    finally:
        process.kill()
        process.join()
    return last


def _state(store: CaseStore) -> tuple[int, int, int, int]:
    """(entries of the case that grows, number of cases, of files, of shown diagnoses)."""
    with store.database.reading() as connection:
        counts = [
            connection.execute(select(func.count()).select_from(table)).scalar_one()
            for table in (cases, files, diagnoses)
        ]
    return store.kept("KD-1").entries, counts[0], counts[1], counts[2]


def _remarks(store: CaseStore) -> list[str]:
    """Whether the case that grows holds every remark once and in order."""
    notes = [entry.note for entry in store.case("KD-1", SIX).log[3:]]
    right = [doomed.remark(number) for number in range(4, len(notes) + 4)]
    return [] if notes == right else ["its entries are not as they were given"]


def _version(url: str) -> int:
    with as_it_stands(store_place(url)).reading() as connection:
        return migrate.version_of(connection)


def main() -> None:
    """Kill, and print a line for each store and point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=200, help="kills on each store (default: 200)")
    parser.add_argument("--seed", type=int, default=0)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="leakdx-kills-") as name:
        os.environ[DATA] = name
        for kind in KINDS:
            found = list(kills(kind, args.each, Path(name) / kind, args.seed))
            for what, point in POINTS:
                of_point = [one for one in found if (one.what, one.point) == (what, point)]
                broken = sum(bool(one.wrong) for one in of_point)
                said = sum(one.saved for one in of_point)
                print(f"{kind:9} {what:8} {point:24} {len(of_point):4} killed  {said:6} saved  {broken} broken")
            for one in found:
                for sentence in one.wrong:
                    print(f"{kind}: {one.what} {one.point}: {sentence}")
            print(f"{kind}: {len(found)} killed, {sum(bool(one.wrong) for one in found)} promises broken")


if __name__ == "__main__":
    main()
