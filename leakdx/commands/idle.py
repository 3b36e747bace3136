"""``leakdx knowledge idle``: take out each piece of the knowledge in turn, and name those that no case misses."""

import json
from argparse import Namespace
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from leakdx.commands.inputs import knowledge_for, trucks_of, usual_cases
from leakdx.commands.output import say, talk
from leakdx.errors import ExitCode, UsageError

if TYPE_CHECKING:
    from leakdx.training.idle import Moved, Removal
    from leakdx.training.items import Item

MOST_IDLE = 0.1
"""Share of the pieces that may be idle, each with its reason."""
_REMARKS = 20
"""How often progress is said."""
_CHUNK = 4


def run(args: Namespace) -> int:
    """The list of what is idle; exit code 6 where it is more than one in ten, or some without a reason."""
    from leakdx.training.items import items
    from leakdx.training.kept import read_kept

    if args.jobs < 1:
        raise UsageError(f"--jobs {args.jobs}: give a number of processes from 1 on")
    every = tuple(items(knowledge_for(args.knowledge)))
    kept = read_kept(Path(args.kept), [item.name for item in every]) if args.kept else {}
    chosen = [item for item in every if args.only is None or item.kind == args.only]
    if not args.places and not usual_cases():
        raise UsageError("no cases are named; give a folder of case files")
    if args.jobs == 1:
        test = _removal(args.knowledge, args.places)
        found = _with_remarks((test.of(item) for item in chosen), len(chosen))
    else:
        found = _shared_out(args, chosen)
    say(_as_json(found, kept) if args.json else _in_words(found, kept))
    idle = [moved for moved in found if moved.idle]
    is_fine = len(idle) <= MOST_IDLE * len(found) and all(moved.item.name in kept for moved in idle)
    return ExitCode.OK if is_fine else ExitCode.NOT_MET


def _with_remarks(results: "Iterator[Moved]", count: int) -> "list[Moved]":
    found: list[Moved] = []
    for moved in results:
        found.append(moved)
        if len(found) * _REMARKS // count > (len(found) - 1) * _REMARKS // count:
            talk(f"{len(found)} of {count} taken out, {sum(m.idle for m in found)} idle")
    return found


def _removal(own: str | None, places: Sequence[str]) -> "Removal":
    from leakdx.training.idle import Removal

    knowledge = knowledge_for(own)
    return Removal(knowledge, trucks_of(places, knowledge, usual=True))


# -- several processes ---------------------------------------------------------------------------------------


def _shared_out(args: Namespace, chosen: "Sequence[Item]") -> "list[Moved]":
    """Each process reads knowledge and cases for itself; only the pieces and what became of them go to and fro."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(args.jobs, get_context("spawn"), _start, (args.knowledge, args.places)) as pool:
        return _with_remarks(pool.map(_of, chosen, chunksize=_CHUNK), len(chosen))


_tests: "list[Removal]" = []
"""The one test of a process that was started for a share of the pieces."""


def _start(own: str | None, places: list[str]) -> None:
    _tests.append(_removal(own, places))


def _of(item: "Item") -> "Moved":
    return _tests[0].of(item)


# -- what is said --------------------------------------------------------------------------------------------


def _in_words(found: "Sequence[Moved]", kept: Mapping[str, str]) -> str:
    idle = [moved.item for moved in found if moved.idle]
    lines = [f"{item.at}: {item.name}: idle{_reason(item.name, kept)}" for item in idle]
    lines += [f"{name}: kept as idle, and some case misses it" for name in _needlessly_kept(found, kept)]
    of, idle_of = Counter(m.item.kind for m in found), Counter(item.kind for item in idle)
    lines += [f"  {kind:<10} {idle_of[kind]:>4} of {n:<4} idle" for kind, n in of.items()]
    share = 100 * len(idle) / max(len(found), 1)
    return "\n".join([*lines, f"{len(idle)} of {len(found)} pieces are idle ({share:.1f} %)"])


def _reason(name: str, kept: Mapping[str, str]) -> str:
    return f", kept: {kept[name]}" if name in kept else ""


def _needlessly_kept(found: "Sequence[Moved]", kept: Mapping[str, str]) -> list[str]:
    return [moved.item.name for moved in found if not moved.idle and moved.item.name in kept]


def _as_json(found: "Sequence[Moved]", kept: Mapping[str, str]) -> str:
    rows = [
        {
            "item": moved.item.name,
            "kind": moved.item.kind,
            "at": moved.item.at,
            "idle": moved.idle,
            "kept": kept.get(moved.item.name),
            "case": moved.case or None,
            "what": moved.what or None,
        }
        for moved in found
    ]
    return json.dumps({"items": rows, "idle": sum(moved.idle for moved in found)}, indent=2, ensure_ascii=False)
