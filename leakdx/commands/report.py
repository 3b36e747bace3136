"""``leakdx report``: a page of a case to hand over, as HTML or PDF."""

from argparse import Namespace
from pathlib import Path

from leakdx.case import Case
from leakdx.commands.inputs import diagnosed, knowledge_here
from leakdx.commands.output import say_bytes, talk
from leakdx.commands.stored import is_file_name, store_of
from leakdx.errors import ExitCode, UsageError
from leakdx.pages.document import Document, Photo
from leakdx.pages.pdf import NoPdfError
from leakdx.pages.photos import photos_of
from leakdx.pages.readers import WITH_PHOTOS, page_of
from leakdx.pages.wall import wall_page
from leakdx.pages.written import KINDS, Written, written
from leakdx.store.files import write_new

TO_OUTPUT = "-"
WALL = "wall"


def run(args: Namespace) -> int:
    """Write one page into a file."""
    kind, out = _kind_and_name(args)
    made = written(_page(args), kind, args.paper)
    if made.trouble is not None:
        return _instead(made, out, made.trouble, force=args.force)
    _put(made.data, out, force=args.force)
    if made.remark:
        talk(made.remark)
    return ExitCode.OK


def _page(args: Namespace) -> Document:
    """The page that was asked for; only sheets for the wall need no case."""
    if args.reader == WALL:
        knowledge = knowledge_here(args.knowledge)
        return wall_page(knowledge, diagnosed(args, args.shop).case.axle if args.case else None)
    if args.case is None:
        raise UsageError(f"--for {args.reader} needs a CASE: a case file, or the id of a case in the store")
    diagnosis = diagnosed(args, args.shop)
    return page_of(args.reader, diagnosis, _photos(args, diagnosis.case) if args.reader in WITH_PHOTOS else ())


def _photos(args: Namespace, case: Case) -> tuple[Photo, ...]:
    """The photos of a case: small pictures of those that the store has, and the names of all others."""
    if is_file_name(args.case):
        return photos_of(case, lambda _: None)
    from leakdx.store.database.photos import kept_file

    store = store_of(args)
    return photos_of(case, lambda entry: kept_file(store, entry.text))


def _kind_and_name(args: Namespace) -> tuple[str, str]:
    """What is made and where it goes: as was said, or by the file's name, or a PDF named after the case."""
    suffix = Path(args.out).suffix.removeprefix(".").lower() if args.out not in (None, TO_OUTPUT) else ""
    if args.to and suffix in KINDS and suffix != args.to:
        raise UsageError(f"'{args.out}' is named as {suffix.upper()} and --to says {args.to}; leave one of them out")
    kind = args.to or (suffix if suffix in KINDS else KINDS[0])
    return kind, args.out or f"{_stem(args)}{args.reader}.{kind}"


def _stem(args: Namespace) -> str:
    return f"{Path(args.case).stem}-" if args.case else ""


def _instead(made: Written, out: str, trouble: NoPdfError, *, force: bool) -> int:
    """The text still comes, where it can: as HTML beside the name that the PDF would have had."""
    if out == TO_OUTPUT:
        raise NoPdfError(f"{trouble}; or ask for --to html") from trouble
    instead = str(Path(out).with_suffix(f".{made.kind}"))
    _put(made.data, instead, force=force)
    talk(f"leakdx: {trouble}. The page is in {instead} instead, which a browser prints")
    return trouble.exit_code


def _put(made: bytes, out: str, *, force: bool) -> None:
    """To standard output, or into a file for its owner only: a page holds customers' names."""
    if out == TO_OUTPUT:
        say_bytes(made)
    else:
        write_new(Path(out), made, replace=force)
        talk(f"{out} is written")
