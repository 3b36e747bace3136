"""``leakdx cases replay``: do the diagnoses that were shown come out again."""

import json
from argparse import Namespace

from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode
from leakdx.store.database.replay import Replayed, replay


def run(args: Namespace) -> int:
    """Say of each shown diagnosis whether it comes out the same, and what differs."""
    store = store_of(args)
    made = list(replay(store, store.meant(args.case)))
    if args.json:
        rows = [
            {
                "written": one.shown.written,
                "entries": one.shown.entries,
                "version": one.shown.version,
                "knowledge": one.shown.knowledge,
                "same": one.same,
                "wrong": one.wrong,
                "differences": list(one.differences),
            }
            for one in made
        ]
        say(json.dumps(rows, indent=2, ensure_ascii=False))
    else:
        say("\n".join(map(_said, made)) or "Nothing was shown of this case yet.")
    return ExitCode.OK if all(one.same for one in made) else ExitCode.NOT_MET


def _said(one: Replayed) -> str:
    shown = one.shown
    about = f"{shown.written}, after entry {shown.entries}, leakdx {shown.version}, knowledge {shown.knowledge[:12]}"
    if one.same:
        return f"{about}: the same"
    lines = [f"  {difference}" for difference in one.differences]
    return "\n".join([f"{about}: {one.wrong or 'differs'}", *lines])
