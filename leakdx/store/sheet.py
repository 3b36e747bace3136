"""Cases for a spreadsheet: an entry on each line, no cell that the spreadsheet would run."""

import csv
import io
import unicodedata
from collections.abc import Iterable

from leakdx.case import Case
from leakdx.clean import clean_line
from leakdx.store.caseyaml import entry_fields, flow

COLUMNS = ("case", "unit", "entry", "at", "who", "bay", "kind", "says", "note")
_RUN = ("=", "+", "-", "@", "\t", "\r", "|", "%")
"""A cell that begins so is a formula, or a call of another program, to some spreadsheet."""


def csv_text(cases: Iterable[Case]) -> str:
    """Comma-separated values after RFC 4180, one head line; text that a spreadsheet would run stands behind a '.

    It begins with the mark by which spreadsheets know UTF-8.
    """
    made = io.StringIO()
    made.write("\ufeff")
    writer = csv.writer(made, quoting=csv.QUOTE_ALL)
    writer.writerow(COLUMNS)
    for case in cases:
        for entry in case.log:
            fields = entry_fields(entry)
            note = str(fields.pop("note", ""))
            at, who, bay = (str(fields.pop(name, "")) for name in ("at", "who", "bay"))
            kind = next(iter(fields), "note")
            says = flow(fields).strip("{}")
            row = (case.id, case.unit, str(entry.number), at, who, bay, kind, says, note)
            writer.writerow([harmless(cell) for cell in row])
    return made.getvalue()


def harmless(cell: str) -> str:
    """The cell on one line, with an apostrophe before it where a spreadsheet would take it for more than text."""
    text = clean_line(cell)
    # The wide forms of these signs are signs to a spreadsheet too.
    return f"'{text}" if unicodedata.normalize("NFKC", text[:1]).startswith(_RUN) else text
