"""Sheets for the wall: they speak of no truck, and say what the knowledge says."""

import io
from pathlib import Path

import pypdf
import pytest

from leakdx.cli import main
from leakdx.errors import ExitCode
from leakdx.measured.axle import COUNT
from leakdx.mechanics.order import round_order
from leakdx.pages.document import Document, NewPage, Picture, Table
from leakdx.pages.pdf import pdf_page
from leakdx.pages.ring import order_of
from leakdx.pages.wall import wall_page
from tests.shipped import knowledge

PAGE = wall_page(knowledge(), None)


def table(page: Document, title: str) -> Table:
    return next(block for block in page.blocks if isinstance(block, Table) and title in block.title)


def test_each_count_of_fasteners_has_its_ring() -> None:
    counts = {round(a.values[COUNT.value].value) for a in knowledge().axles.values() if COUNT.value in a.values}
    rings = [block for block in PAGE.blocks if isinstance(block, Picture)]
    assert [ring.shows.split()[0] for ring in rings] == [str(count) for count in sorted(counts)]


@pytest.mark.parametrize("count", [8, 12, 16, 17, 20])
def test_the_order_is_that_of_the_mechanics_and_names_each_once(count: int) -> None:
    assert sorted(order_of(count)) == list(range(1, count + 1))
    assert order_of(count) == tuple(number for group in round_order(count) for number in group.numbers)
    assert order_of(0) == ()


def test_what_a_bead_shows_speaks_for_the_causes_that_show_it() -> None:
    known = knowledge()
    (check,) = [check for check in known.checks.values() if check.on_wall]
    said = {row[0]: row[1] for row in table(PAGE, "what it speaks for").rows}
    assert set(said) == {known.name(sign) for sign in check.reveals}
    for sign in check.reveals:
        links = {known.name(cause): known.link(known.causes[cause].shows[sign]) for cause in known.shown_by[sign]}
        named = [cause.rsplit(" (", 1)[0] for cause in said[known.name(sign)].split("; ")]
        assert [links[cause] for cause in named] == sorted((links[cause] for cause in named), reverse=True)
        assert links[named[0]] == max(links.values())


def test_every_grade_of_a_leak_says_what_then() -> None:
    rows = table(PAGE, "Grades").rows
    assert len(rows) == 4
    assert all(then for _, then in rows)
    assert "Stop" in rows[-1][1]


def test_each_subject_is_one_sheet_of_paper() -> None:
    subjects = 1 + sum(isinstance(block, NewPage) for block in PAGE.blocks)
    assert len(pypdf.PdfReader(io.BytesIO(pdf_page(PAGE))).pages) == subjects


def test_they_need_no_case_and_all_others_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "wall.html"
    assert main(["report", "--for", "wall", "-o", str(out)]) == ExitCode.OK
    assert "The order of 16 fasteners" in out.read_text("utf-8")
    assert main(["report", "--for", "job"]) == ExitCode.USAGE
    assert "needs a CASE" in capsys.readouterr().err
