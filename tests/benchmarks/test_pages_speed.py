"""A page as HTML and as PDF, beside Jinja2 and typst alone on the same text, in turns in one run.

Jinja2 alone fills the page's own template from data that lie ready; typst alone sets the words of the page as bare
paragraphs, its tables as bare tables and its pictures, with no style, no box and no head or foot. What it takes to
find the words is printed apart. ``python -m pytest tests/benchmarks/test_pages_speed.py -n 0``.
"""

import json
from collections.abc import Iterable

import pytest
import typst
from jinja2 import Environment, PackageLoader

from leakdx.pages.document import Beside, Block, Picture, Table, plain
from leakdx.pages.html import html_page
from leakdx.pages.pdf import pdf_page
from leakdx.pages.readers import PAGES
from tests.benchmarks.marginals import in_turns
from tests.pages.made import document, texts_of
from tests.shipped import diagnosis

CASE = "06"
READERS = ("customer", "record", "job", "trainer")
BAR, ROOM = 2.0, 1.25
"""How many times as long as the engine alone a page may take, and room for whatever else a machine does."""
HTML_ROUNDS, PDF_ROUNDS = 30, 7
BARE = b"""
#set text(font: "Libertinus Serif")
#for part in json(bytes(sys.inputs.parts)) {
  if "cells" in part { table(columns: part.columns, ..part.cells) }
  else if "svg" in part { image(bytes(part.svg), format: "svg") }
  else { for text in part.texts { par(text) } }
}
"""


def bare_parts(blocks: Iterable[Block]) -> list[dict[str, object]]:
    """The page without its looks: words, tables with their blanks, pictures."""
    parts: list[dict[str, object]] = []
    for block in blocks:
        if isinstance(block, Table):
            cells = [column.head for column in block.columns] + [cell for row in block.rows for cell in row]
            parts += [{"texts": [block.title]}, {"columns": len(block.columns), "cells": cells}]
        elif isinstance(block, Picture):
            parts += [{"svg": block.svg}, {"texts": [block.shows]}]
        elif isinstance(block, Beside):
            parts += bare_parts((*block.left, block.picture))
        else:
            parts.append({"texts": texts_of(block)})
    return parts


@pytest.mark.parametrize("reader", READERS)
def test_a_page_as_html_beside_jinja2_alone(reader: str, capsys: pytest.CaptureFixture[str]) -> None:
    made = document(reader, CASE)
    engine = Environment(autoescape=True, loader=PackageLoader("leakdx.pages"), trim_blocks=True, lstrip_blocks=True)
    engine.filters["drawing"] = lambda svg, _: svg
    template, data = engine.get_template("page.html.j2"), plain(made)

    def alone() -> bytes:
        return template.render(page=data, style="", policy="").encode()

    assert made.title.encode() in alone()
    html_page(made)  # the template is read once
    ours, theirs = in_turns([lambda: html_page(made), alone], HTML_ROUNDS)
    words = in_turns([lambda: PAGES[reader](diagnosis(CASE))], 3)[0]
    with capsys.disabled():
        print(f"\n{reader} as HTML: {1e3 * ours:.2f} ms, Jinja2 alone {1e3 * theirs:.2f} ms, {ours / theirs:.2f} times")
        print(f"finding its words and pictures: {1e3 * words:.1f} ms")
    assert ours / theirs <= ROOM * BAR


@pytest.mark.parametrize("reader", READERS)
def test_a_page_as_pdf_beside_typst_alone(reader: str, capsys: pytest.CaptureFixture[str]) -> None:
    made = document(reader, CASE)
    data = json.dumps(bare_parts(made.blocks))

    def alone() -> object:
        return typst.compile(BARE, sys_inputs={"parts": data}, ignore_system_fonts=True)

    assert isinstance(alone(), bytes)
    ours, theirs = in_turns([lambda: pdf_page(made), alone], PDF_ROUNDS)
    with capsys.disabled():
        print(f"\n{reader} as PDF: {1e3 * ours:.0f} ms, typst alone {1e3 * theirs:.0f} ms, {ours / theirs:.2f} times")
    assert ours / theirs <= ROOM * BAR
