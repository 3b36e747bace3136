"""Pages of shipped cases, each made once for all tests that look at them."""

import io
import re
from collections.abc import Iterator
from functools import cache
from typing import cast
from xml.etree.ElementTree import Element

import html5lib
import pypdf
from msgspec.structs import replace

from leakdx.case import Case, Note, Observation, Record
from leakdx.pages.document import Block, Document, plain
from leakdx.pages.html import html_page
from leakdx.pages.pdf import pdf_page
from leakdx.pages.photos import photos_of
from leakdx.pages.readers import PAGES, page_of
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.attachments import Attachment
from tests.hostile import hostile
from tests.shipped import diagnosis, knowledge
from tests.store.pictures import picture

READERS = tuple(PAGES)
CASES = ("01", "06", "08")
"""A repair, a truck that may not be driven and whose face is beyond its limit, and one to look at further."""
HOSTILE, EMPTY, LONG, PHOTOS = "hostile", "empty", "long", "photos"
ODD = (HOSTILE, EMPTY, LONG, PHOTOS)
WIDE = "W" * 60
"""A word that no line holds."""
_ENTRIES = 200
FORTY = 40


@cache
def diagnosed(name: str) -> Diagnosis:
    """A shipped case by the beginning of its name, or an odd one."""
    if name == HOSTILE:
        return diagnose(knowledge(), hostile(diagnosis("06").case))
    if name == EMPTY:
        return diagnose(knowledge(), Case(id="KD-0", complaint=knowledge().complaint))
    if name == LONG:
        return diagnose(knowledge(), _with_many(diagnosis("06").case))
    if name == PHOTOS:
        return diagnose(knowledge(), photographed())
    return diagnosis(name)


def photographed() -> Case:
    """A case with forty photos."""
    case = diagnosis("06").case
    first = len(case.log) + 1
    shots = [Record(number=first + n, who="MN", kind="photo", text=f"{n:064x}", note=f"side-{n}.jpg")
             for n in range(FORTY)]  # fmt: skip
    return replace(case, log=(*case.log, *shots))


def _with_many(case: Case) -> Case:
    """The case with its looks repeated and noted upon until the log holds two hundred entries, and overlong words."""
    looks = [entry for entry in case.log if isinstance(entry, Observation)]
    log = list(case.log)
    while len(log) < _ENTRIES:
        number = len(log) + 1
        again = looks[number % len(looks)]
        log.append(
            replace(again, number=number) if number % 2 else Note(number=number, who="KL", note=f"note {number}")
        )
    return replace(case, unit=WIDE, story=WIDE, log=tuple(log))


@cache
def document(reader: str, name: str) -> Document:
    made = diagnosed(name)
    file = Attachment("side.jpg", "jpeg", picture()) if name == PHOTOS else None
    return page_of(reader, made, photos_of(made.case, lambda _: file))


@cache
def html(reader: str, name: str) -> str:
    return html_page(document(reader, name)).decode("utf-8")


@cache
def tree(reader: str, name: str) -> Element:
    """The page as a strict reader of HTML takes it; anything that is not as the standard has it is an error."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return cast(Element, parser.parse(html(reader, name)))


@cache
def pdf(reader: str, name: str) -> bytes:
    return pdf_page(document(reader, name))


@cache
def pdf_text(reader: str, name: str) -> str:
    """All words of the PDF, taken out of it again."""
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf(reader, name))).pages)


def words_of(document: Document) -> set[str]:
    """Every word that the page is to say, pictures and photos apart."""
    return {word for text in texts_of(document) for word in bare(text)}


def texts_of(part: Document | Block) -> list[str]:
    """Every text of a page or of a block, pictures and photos apart."""
    return list(_texts(plain(part)))


def bare(text: str) -> list[str]:
    """Letters and digits only, as lines and hyphens may break elsewhere in another kind of page."""
    return re.findall(r"\w+", text)


def _texts(value: object, field: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, each in value.items():
            yield from _texts(each, key)
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each, field)
    elif isinstance(value, str) and field not in ("svg", "jpeg", "kind", "tone", "size"):
        yield value
