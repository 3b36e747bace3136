"""``leakdx cases import`` and ``leakdx cases export``: cases in and out of the store, as files."""

from argparse import Namespace
from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import structs

from leakdx.case import Case
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode, UsageError
from leakdx.knowledge.model import Knowledge
from leakdx.store.casefile import read_case
from leakdx.store.caseyaml import case_text
from leakdx.store.database.search import Wanted, find
from leakdx.store.database.transfer import Taken, take_in
from leakdx.store.files import read_bytes, write_new
from leakdx.store.jsonlines import json_text, read_json_lines
from leakdx.store.redacted import redacted
from leakdx.store.sheet import csv_text


def run(args: Namespace) -> int:
    """Take cases in, or write them out."""
    return _import(args) if args.what == "import" else _export(args)


def _import(args: Namespace) -> int:
    knowledge, store = knowledge_here(args.knowledge), store_of(args, make=True)
    if args.id and len(args.files) > 1:
        raise UsageError("--as gives one case an id, and there are several files; name one file with it")
    for name in args.files:
        found = _read(Path(name), knowledge)
        if args.id:
            if len(found) != 1:
                raise UsageError(f"--as gives one case an id, and {name} holds {len(found)}; leave it away")
            found = [structs.replace(found[0], id=args.id)]
        for taken in take_in(store, found, knowledge):
            say(f"case {taken.id}: {_said(taken)}")
    return ExitCode.OK


def _said(taken: Taken) -> str:
    if taken.new:
        return f"taken in, {taken.added} entries"
    return f"{taken.added} entries added" if taken.added else "is there already, nothing is new"


def _read(path: Path, knowledge: Knowledge) -> Sequence[Case]:
    kind = path.suffix.casefold()
    if kind in (".yaml", ".yml"):
        return [read_case(path, knowledge)]
    if kind == ".jsonl":
        return read_json_lines(read_bytes(path), str(path), knowledge)
    raise UsageError(f"{path}: cases are taken in from .yaml and .jsonl; see what kind of file it is")


def _export(args: Namespace) -> int:
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    if bool(args.cases) == args.all:
        raise UsageError("name the cases to write out, or give --all")
    ids = [row.id for row in find(store, Wanted())] if args.all else [store.meant(word) for word in args.cases]
    path = Path(args.out)
    writer = _WRITERS.get(path.suffix.casefold())
    if writer is None:
        raise UsageError(f"{path}: cases are written to {', '.join(_WRITERS)}; end the name with one of these")
    found = [store.case(id, knowledge) for id in dict.fromkeys(ids)]
    text = writer([redacted(case) for case in found] if args.redact else found)
    write_new(path, text.encode(), replace=args.force)
    say(f"{path}: {len(found)} case{'s' if len(found) != 1 else ''} written")
    return ExitCode.OK


def _one(found: Sequence[Case]) -> str:
    if len(found) != 1:
        raise UsageError(f"a .yaml file holds one case, not {len(found)}; write .jsonl, or name one")
    return case_text(found[0])


_WRITERS: dict[str, Callable[[Sequence[Case]], str]] = {
    ".yaml": _one,
    ".jsonl": json_text,
    ".csv": csv_text,
}
