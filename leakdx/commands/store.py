"""``leakdx store``: check, back up, restore and salvage the case store."""

import json
from argparse import Namespace
from pathlib import Path

from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode
from leakdx.explain.words import counted
from leakdx.store.database.place import store_place


def run(args: Namespace) -> int:
    """Do what is asked with the whole store."""
    return {"check": _check, "backup": _backup, "restore": _restore, "salvage": _salvage}[args.what](args)


def _check(args: Namespace) -> int:
    from leakdx.store.database.check import check

    found = check(store_place(args.store))
    if args.json:
        said = {"store": found.name, "cases": found.cases, "entries": found.entries, "files": found.files}
        say(json.dumps({**said, "faults": list(found.faults)}, indent=2, ensure_ascii=False))
    else:
        counts = f"{counted(found.cases, 'case')}, {counted(found.entries, 'entry')}, {counted(found.files, 'file')}"
        say("\n".join([*found.faults, f"{found.name}: {counts}, {_faults(len(found.faults))}"]))
    return ExitCode.NOT_MET if found.faults else ExitCode.OK


def _faults(count: int) -> str:
    return counted(count, "fault") if count else "all as it was written"


def _backup(args: Namespace) -> int:
    from leakdx.store.database.backup import back_up
    from leakdx.store.database.connect import open_database

    back_up(open_database(store_place(args.store)), Path(args.file))
    say(f"{args.file} is written")
    return ExitCode.OK


def _restore(args: Namespace) -> int:
    from leakdx.store.database.restore import restore

    place = store_place(args.store)
    say(f"{place.name}: {counted(restore(Path(args.file), place), 'case')} restored")
    return ExitCode.OK


def _salvage(args: Namespace) -> int:
    from leakdx.store.database.salvage import salvage

    saved = salvage(store_place(args.store), Path(args.file))
    for lost in saved.lost:
        talk(lost)
    say(f"{args.file}: {counted(saved.cases, 'case')} saved, {saved.whole} of them whole")
    return ExitCode.OK
