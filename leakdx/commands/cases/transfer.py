"""``leakdx cases import`` and ``leakdx cases export``: cases in and out of the store, as files."""

from argparse import Namespace
from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import structs

from leakdx.case import Case
from leakdx.commands.inputs import knowledge_here, knowledge_source
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import CaseError, ExitCode, UsageError
from leakdx.explain.words import counted
from leakdx.knowledge.model import Knowledge
from leakdx.store.bundle.reading import open_bundle
from leakdx.store.casefile import read_case
from leakdx.store.caseyaml import case_text
from leakdx.store.database.bundles import take_in_bundle, write_bundle
from leakdx.store.database.rows import refuse_odd_id
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
    """Read each file whole before a store is opened, or made, for it."""
    knowledge = knowledge_here(args.knowledge)
    if args.id and len(args.files) > 1:
        raise UsageError("--as gives one case an id, and there are several files; name one file with it")
    for name in args.files:
        take = _take_bundle if Path(name).suffix.casefold() == _BUNDLE else _take_cases
        for taken in take(args, Path(name), knowledge):
            say(f"case {taken.id}: {_said(taken)}")
    return ExitCode.OK


def _take_cases(args: Namespace, path: Path, knowledge: Knowledge) -> tuple[Taken, ...]:
    found = _read(path, knowledge)
    if not found:
        raise CaseError(f"{path}: holds no case; each line holds one whole case")
    if args.id:
        _refuse_several(path, len(found))
        found = [structs.replace(found[0], id=args.id)]
    _refuse_odd_ids(found)
    return take_in(store_of(args, make=True), found, knowledge)


def _take_bundle(args: Namespace, path: Path, knowledge: Knowledge) -> tuple[Taken, ...]:
    with open_bundle(path, knowledge) as bundle:
        if args.id:
            _refuse_several(path, len(bundle.cases))
            bundle = bundle.renamed(args.id)
        _refuse_odd_ids([one.case for one in bundle.cases])
        return take_in_bundle(store_of(args, make=True), bundle, knowledge)


def _refuse_several(path: Path, count: int) -> None:
    if count != 1:
        raise UsageError(f"--as gives one case an id, and {path} holds {count}; leave it away")


def _refuse_odd_ids(found: Sequence[Case]) -> None:
    """Before a store is made for them."""
    for case in found:
        refuse_odd_id(case.id)


def _said(taken: Taken) -> str:
    if taken.new:
        return f"taken in, {counted(taken.added, 'entry')}"
    if taken.differs:
        return "is there already, no entry is new; what stands above its log differs, and was left as it is here"
    return f"{counted(taken.added, 'entry')} added" if taken.added else "is there already, nothing is new"


def _read(path: Path, knowledge: Knowledge) -> Sequence[Case]:
    kind = path.suffix.casefold()
    if kind in (".yaml", ".yml"):
        return [read_case(path, knowledge)]
    if kind == ".jsonl":
        return read_json_lines(read_bytes(path), str(path), knowledge)
    raise UsageError(f"{path}: cases are taken in from .yaml, .jsonl and .zip; see what kind of file it is")


def _export(args: Namespace) -> int:
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    if bool(args.cases) == args.all:
        raise UsageError("name the cases to write out, or give --all")
    ids = [row.id for row in find(store, Wanted())] if args.all else [store.meant(word) for word in args.cases]
    ids = list(dict.fromkeys(ids))
    path = Path(args.out)
    kind = path.suffix.casefold()
    if kind == _BUNDLE:
        source = knowledge_source(args.knowledge)
        write_bundle(store, ids, path, knowledge, source, redact=args.redact, replace=args.force)
    elif kind in _WRITERS:
        found = [store.case(id, knowledge) for id in ids]
        text = _WRITERS[kind]([redacted(case) for case in found] if args.redact else found)
        write_new(path, text.encode(), replace=args.force)
    else:
        kinds = ", ".join((*_WRITERS, _BUNDLE))
        raise UsageError(f"{path}: cases are written to {kinds}; end the name with one of these")
    say(f"{path}: {counted(len(ids), 'case')} written")
    return ExitCode.OK


def _one(found: Sequence[Case]) -> str:
    if len(found) != 1:
        raise UsageError(f"a .yaml file holds one case, not {len(found)}; write .jsonl, or name one")
    return case_text(found[0])


_BUNDLE = ".zip"
_WRITERS: dict[str, Callable[[Sequence[Case]], str]] = {
    ".yaml": _one,
    ".jsonl": json_text,
    ".csv": csv_text,
}
