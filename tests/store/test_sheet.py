"""Cases for a spreadsheet: RFC 4180, and no cell that a spreadsheet would run."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from leakdx.case import Case, Note, Reading
from leakdx.store.sheet import COLUMNS, csv_text, harmless
from tests.store.database.stores import a_case
from tests.store.test_casefile import cases

MARK = "\ufeff"


def test_a_spreadsheet_takes_it_for_utf_8() -> None:
    assert csv_text([]).encode() == b"\xef\xbb\xbf" + ",".join(f'"{name}"' for name in COLUMNS).encode() + b"\r\n"


@settings(max_examples=100, deadline=None)
@given(found=st.lists(cases(), max_size=3))
def test_an_entry_on_each_line_and_no_cell_that_runs(found: list[Case]) -> None:
    rows = list(csv.reader(io.StringIO(csv_text(found).removeprefix(MARK))))  # of the standard library, after RFC 4180
    assert rows[0] == list(COLUMNS)
    assert len(rows) == 1 + sum(len(case.log) for case in found)
    for row in rows[1:]:
        assert len(row) == len(COLUMNS)
        assert not any(cell.startswith(("=", "+", "-", "@", "|", "%")) for cell in row)
        assert not any(set(cell) & set("\r\n\t\x00") for cell in row)


@pytest.mark.parametrize(
    "typed",
    ['=HYPERLINK("http://x","y")', "+1+1", "-2+3", "@SUM(A1)", "\t=1", "|calc", "%0a", "＝1", "＋1", "－1", "＠x"],
)
def test_a_formula_is_text(typed: str) -> None:
    assert harmless(typed).startswith("'")


def test_what_was_read_stands_in_one_cell() -> None:
    reading = Reading(number=1, who="AB", bay="2", sign="flat", value="-0.006", unit="in", tool="edge 2")
    case = structs.replace(a_case("K"), unit="=1", log=(reading, Note(number=2, who="AB", note="-x")))
    rows = list(csv.reader(io.StringIO(csv_text([case]).removeprefix(MARK))))
    assert rows[1] == [
        "K",
        "'=1",
        "1",
        "",
        "AB",
        "2",
        "read",
        "read: flat, value: '-0.006', unit: in, tool: edge 2",
        "",
    ]
    assert rows[2][6:] == ["note", "", "'-x"]
