"""PDF pages: every word of the page stands in them and can be taken out again, and what was typed is no markup."""

import io
import re
from collections.abc import Mapping

import pypdf
import pytest
from msgspec.structs import replace

from leakdx.letters import needs_other_fonts, not_drawn
from leakdx.pages.document import Column, Table
from leakdx.pages.pdf import pdf_page
from tests.pages.made import CASES, EMPTY, ODD, READERS, bare, document, pdf, pdf_text, words_of

PAGES = [(reader, name) for reader in READERS for name in (CASES[1], *ODD)]


@pytest.mark.parametrize(("reader", "name"), PAGES)
def test_every_word_can_be_taken_out_again(reader: str, name: str) -> None:
    said = "".join(bare(pdf_text(reader, name)))
    assert {word for word in words_of(document(reader, name)) if word not in said} == set()


@pytest.mark.parametrize("reader", READERS)
def test_the_same_page_is_the_same_bytes_on_either_paper(reader: str) -> None:
    page = document(reader, CASES[1])
    assert pdf_page(page) == pdf(reader, CASES[1])
    assert pdf_page(page, "a4") != pdf(reader, CASES[1])


SIGNED = {"customer": ("Customer, date", "If nothing is done"), "record": ("Warranty desk, date", "Look at it again")}


@pytest.mark.parametrize("name", [*CASES, *ODD])
@pytest.mark.parametrize("reader", SIGNED)
def test_nobody_signs_on_a_sheet_that_says_nothing_else(reader: str, name: str) -> None:
    sheets = [sheet.extract_text() for sheet in pypdf.PdfReader(io.BytesIO(pdf(reader, name))).pages]
    lines, before = SIGNED[reader]
    (signed,) = (sheet for sheet in sheets if lines in sheet)
    assert before in signed


@pytest.mark.parametrize("name", [*CASES, *ODD])
def test_a_tag_is_one_sheet_whatever_the_truck_is_called(name: str) -> None:
    assert len(pypdf.PdfReader(io.BytesIO(pdf("tag", name))).pages) == 1


def test_no_row_is_cut_at_the_foot_of_a_sheet() -> None:
    rows = tuple((f"begins{n} " + "and goes on, word by word, " * (24 + n % 5) + f"ends{n}",) for n in range(40))
    page = replace(document("record", EMPTY), blocks=(Table("Long rows", (Column("What", 1),), rows),))
    sheets = [sheet.extract_text() for sheet in pypdf.PdfReader(io.BytesIO(pdf_page(page))).pages]
    assert len(sheets) > 2
    for n in range(40):
        assert [sheet for sheet in sheets if f"begins{n} " in sheet] == [
            s for s in sheets if re.search(rf"ends{n}\b", s)
        ]


SCRIPTS: Mapping[str, str] = {
    "Latin": "Ünïçødé Łódź œ ß", "Greek": "Αθήνα", "Cyrillic": "Жуков ї", "Hebrew": "שלום", "Arabic": "سلام",
    "Armenian": "Երեւան", "signs": "→ ☐ ☑ ½ ° µ € ≤ – “” ✓",
}  # fmt: skip


@pytest.mark.parametrize("script", SCRIPTS)
def test_the_engine_brings_the_letters_that_are_said_to_need_no_other_font(script: str) -> None:
    assert not needs_other_fonts(SCRIPTS[script])
    made = pdf_page(replace(document(READERS[0], CASES[0]), title=SCRIPTS[script], blocks=()))
    said = pypdf.PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert set(SCRIPTS[script]) - set(said) == set()


def test_letters_that_no_font_has_are_named() -> None:
    assert not_drawn("as usual ½") == ""
    assert not_drawn("\U0010fffd and again \U0010fffd") == "\U0010fffd"
