"""PDF pages: every word of the page stands in them and can be taken out again, and what was typed is no markup."""

import builtins
import io
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pypdf
import pytest
from msgspec.structs import replace

from leakdx.cli import main
from leakdx.errors import ExitCode
from leakdx.pages.letters import needs_other_fonts, not_drawn
from leakdx.pages.pdf import pdf_page
from tests.pages.made import CASES, ODD, READERS, bare, document, pdf, pdf_text, words_of
from tests.shipped import FILES

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


def test_without_the_engine_a_sentence_says_so_and_the_page_comes_as_html(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = builtins.__import__

    def without(name: str, *given: Any, **more: Any) -> Any:
        if name == "typst":
            raise ImportError(name)
        return usual(name, *given, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    out = tmp_path / "page.pdf"
    assert main(["report", str(FILES[0]), "--for", "customer", "-o", str(out)]) != ExitCode.OK
    assert not out.exists()
    assert "What it likely is" in out.with_suffix(".html").read_text("utf-8")
    assert "pip install typst" in capsys.readouterr().err


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
