"""Cases as JSON lines: on each line one case, with the fields of a case file."""

import json
from collections.abc import Iterable
from typing import Any

from leakdx.case import Case
from leakdx.clean import clean_line
from leakdx.errors import CaseError
from leakdx.knowledge.model import Knowledge
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import entry_fields, header

MOST_BYTES = 64 << 20
"""Of a file of JSON lines; some two hundred thousand cases."""


def json_text(cases: Iterable[Case]) -> str:
    """All cases, each on a line of its own."""
    rows = ({**header(case), "log": [entry_fields(entry) for entry in case.log]} for case in cases)
    return "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)


def read_json_lines(data: bytes, name: str, knowledge: Knowledge) -> list[Case]:
    """The cases of a file. Raises CaseError: name, line, what is wrong."""
    if len(data) > MOST_BYTES:
        raise CaseError(f"{name}: is larger than {MOST_BYTES >> 20} MB; split it")
    found = []
    for number, line in enumerate(data.split(b"\n"), start=1):
        if line.strip():
            place = f"{name}, line {number}"
            try:
                row = json.loads(line, object_pairs_hook=_without_doubles)
            except _DoubledError as error:
                wrong = f"'{clean_line(str(error))[:40]}' stands twice among the same fields"
                raise CaseError(f"{place}: {wrong}; keep the one that is meant") from error
            except (ValueError, RecursionError) as error:
                raise CaseError(f"{place}: is no JSON; each line holds one whole case") from error
            if not isinstance(row, dict):
                raise CaseError(f"{place}: is no case; each line holds one, {{...}}")
            # Written anew, since YAML reads a JSON escape of two halves (an emoji) as two broken letters.
            found.append(parse_case(json.dumps(row, ensure_ascii=False).encode("utf-8", "replace"), place, knowledge))
    return found


class _DoubledError(Exception):
    """A field that stands twice; JSON would let the last one win, and nobody would know."""


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise _DoubledError(name)
        found[name] = value
    return found
