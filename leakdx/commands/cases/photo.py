"""``leakdx cases photo``: attach photos and files to a case."""

from argparse import Namespace
from pathlib import Path

from leakdx.case import Record
from leakdx.clean import clean_line
from leakdx.commands.cases.signing import signed
from leakdx.commands.inputs import knowledge_here
from leakdx.commands.output import say
from leakdx.commands.stored import store_of
from leakdx.errors import ExitCode
from leakdx.store.attachments import Attachment, read_attachment
from leakdx.store.database.kept import parsed
from leakdx.store.database.photos import attach


def run(args: Namespace) -> int:
    """Look at every file first, then keep them all with their entries, or none."""
    given = [read_attachment(Path(file), keep_place=args.keep_place) for file in args.files]
    knowledge, store = knowledge_here(args.knowledge), store_of(args)
    kept = store.kept(store.meant(args.case))
    case = parsed(kept, knowledge)
    added = [(_entry(args, len(case.log) + at, one), one) for at, one in enumerate(given, start=1)]
    attach(store, kept, case, added)
    say("\n".join(f"case {case.id}, entry {entry.number}: {entry.note}" for entry, _ in added))
    return ExitCode.OK


def _entry(args: Namespace, number: int, attachment: Attachment) -> Record:
    """The entry of one file; its note is the file's name and what was said of it."""
    said = clean_line(args.note)
    base = {**signed(args, number), "note": f"{attachment.name}: {said}" if said else attachment.name}
    return Record(kind="photo", text=attachment.sha256, **base)
