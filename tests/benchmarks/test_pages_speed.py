"""A page as HTML and as PDF, beside Jinja2 and typst alone on the same text.

Jinja2 alone fills the page's own template from data that lie ready; typst alone sets the words of the page as bare
paragraphs, its tables as bare tables and its pictures, with no style, no box and no head or foot. What it takes to
find the words is measured apart. Ratios are read from one run: ``python -m pytest
tests/benchmarks/test_pages_speed.py -n 0``.
"""

import json
from collections.abc import Iterable

import pytest
import typst
from jinja2 import Environment, PackageLoader
from pytest_benchmark.fixture import BenchmarkFixture

from leakdx.pages.document import Beside, Block, Picture, Table, plain
from leakdx.pages.html import html_page
from leakdx.pages.pdf import pdf_page
from leakdx.pages.readers import PAGES
from tests.pages.made import document, texts_of
from tests.shipped import diagnosis

CASE = "06"
READERS = ("customer", "record", "job", "trainer")
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


@pytest.mark.benchmark(group="the words of a page")
@pytest.mark.parametrize("reader", READERS)
def test_words(benchmark: BenchmarkFixture, reader: str) -> None:
    assert benchmark(lambda: PAGES[reader](diagnosis(CASE))) == document(reader, CASE)


@pytest.mark.benchmark(group="a page as HTML")
@pytest.mark.parametrize("reader", READERS)
def test_page_to_html(benchmark: BenchmarkFixture, reader: str) -> None:
    html_page(document(reader, CASE))  # the template is read once
    made = benchmark(lambda: html_page(document(reader, CASE)))
    assert made.startswith(b"<!DOCTYPE html>")


@pytest.mark.benchmark(group="a page as HTML")
@pytest.mark.parametrize("reader", READERS)
def test_jinja2_alone(benchmark: BenchmarkFixture, reader: str) -> None:
    engine = Environment(autoescape=True, loader=PackageLoader("leakdx.pages"), trim_blocks=True, lstrip_blocks=True)
    engine.filters["drawing"] = lambda svg, _: svg
    template, data = engine.get_template("page.html.j2"), plain(document(reader, CASE))
    made = benchmark(lambda: template.render(page=data, style="", policy="").encode())
    assert made.startswith(b"<!DOCTYPE html>")


@pytest.mark.benchmark(group="a page as PDF")
@pytest.mark.parametrize("reader", READERS)
def test_page_to_pdf(benchmark: BenchmarkFixture, reader: str) -> None:
    pdf_page(document(reader, CASE))
    assert benchmark(lambda: pdf_page(document(reader, CASE))).startswith(b"%PDF")


@pytest.mark.benchmark(group="a page as PDF")
@pytest.mark.parametrize("reader", READERS)
def test_typst_alone(benchmark: BenchmarkFixture, reader: str) -> None:
    data = json.dumps(bare_parts(document(reader, CASE).blocks))
    made = benchmark(lambda: typst.compile(BARE, sys_inputs={"parts": data}, ignore_system_fonts=True))
    assert isinstance(made, bytes)
