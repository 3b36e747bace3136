"""From a page to the bytes of a file, as PDF or HTML; where no PDF can be made the same text comes as HTML."""

import json
from pathlib import Path

from msgspec import Struct

from leakdx.letters import not_drawn
from leakdx.pages.document import Document, plain
from leakdx.pages.html import html_page
from leakdx.pages.pdf import NoPdfError, pdf_page
from leakdx.store.files import write_new

KINDS = ("pdf", "html")
_LETTERS_SHOWN = 12


class Written(Struct, frozen=True):
    """A page as it became. ``kind``: one of KINDS; ``trouble``: why it is not the kind that was asked for.

    ``remark``: what whoever prints it should know.
    """

    data: bytes
    kind: str
    trouble: NoPdfError | None = None
    remark: str = ""


def written(page: Document, kind: str, paper: str = "letter") -> Written:
    """The page as the kind that is asked for, or else as HTML."""
    if kind == "html":
        return Written(html_page(page), kind)
    try:
        return Written(pdf_page(page, paper), kind, remark=_not_drawn(page))
    except NoPdfError as error:
        return Written(html_page(page), "html", error)


def _not_drawn(page: Document) -> str:
    """Which letters are empty boxes on the PDF, since no font has them; empty where there are none."""
    missing = not_drawn(json.dumps(plain(page), ensure_ascii=False))
    if not missing:
        return ""
    shown = " ".join(missing[:_LETTERS_SHOWN])
    return f"No font here has {shown}, which the PDF shows as boxes; install a font that has them, or make it HTML"


def write_page(page: Document, path: Path) -> str:
    """Write a page into a new file, a PDF unless its name ends in .html; what became of it, in words.

    Raises StorageError where the file cannot be written or stands already.
    """
    made = written(page, "html" if path.suffix.lower() == ".html" else "pdf")
    real = path if made.trouble is None else path.with_suffix(f".{made.kind}")
    write_new(real, made.data)
    said = [
        f"Written to {real}",
        *([f"{made.trouble}"] if made.trouble else []),
        *([made.remark] if made.remark else []),
    ]
    return ". ".join(said)
