"""``leakdx cases photos``: the photos and files of a case, listed or written out."""

import json
from argparse import Namespace
from pathlib import Path

from leakdx.clean import clean_line
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say, talk
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode, StorageError, UsageError
from leakdx.store.attachments import KINDS, thumbnail
from leakdx.store.database.casestore import CaseStore
from leakdx.store.database.kept import parsed
from leakdx.store.database.photos import KeptFile, files_of, kept_file
from leakdx.store.files import reason, write_new


def run(args: Namespace) -> int:
    """List them, or write them into a folder."""
    if args.small and args.out is None:
        raise UsageError("--small goes with -o, the folder to write the small pictures into")
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    case = parsed(store.kept(store.meant(args.case)), knowledge)
    found = files_of(store, case)
    if args.out is not None:
        _write_out(store, found, Path(args.out), small=args.small)
    elif args.json:
        say(json.dumps([_row(one) for one in found], indent=2, ensure_ascii=False))
    else:
        say("\n".join(map(_line, found)) or "No photo or file is attached to this case.")
    return ExitCode.OK


def _write_out(store: CaseStore, found: tuple[KeptFile, ...], folder: Path, *, small: bool) -> None:
    """Write each file under the number of its entry: a name that was typed never becomes a name on this disk."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StorageError(f"{folder}: no folder can be made there ({reason(error)})") from error
    for one in found:
        number, shown = one.entry.number, clean_line(one.entry.note)
        file = kept_file(store, one.entry.text, shown)
        if file is None:
            talk(f"entry {number}: {_MISSING}")
            continue
        picture = thumbnail(file) if small else None
        if small and picture is None:
            talk(f"entry {number}: {shown} is {KINDS[file.kind].name}, which has no small picture")
            continue
        suffix = ".small.jpg" if small else KINDS[file.kind].suffixes[0]
        path = folder / f"entry-{number:03}{suffix}"
        write_new(path, file.data if picture is None else picture)
        say(f"{path}: {shown}")


_MISSING = "its file is not in this store; take in a bundle of the case, which brings it along"


def _line(one: KeptFile) -> str:
    entry = one.entry
    what = f"{KINDS[one.kind].name}, {_size(one.size)}" if one.kind is not None else _MISSING
    when = entry.at.isoformat(sep=" ", timespec="minutes") if entry.at else ""
    signed = ", ".join(part for part in (entry.who, when) if part)
    return f"{entry.number:>4}. {entry.note or entry.text[:12]} - {what} ({signed})"


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(size / 1e3, 0.1):.1f} kB"


def _row(one: KeptFile) -> dict[str, object]:
    entry = one.entry
    at = entry.at.isoformat() if entry.at else None
    about = {"entry": entry.number, "who": entry.who, "at": at, "note": entry.note}
    return {**about, "sha256": entry.text, "kind": one.kind, "bytes": one.size}
