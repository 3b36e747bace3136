"""Cases as JSON lines: out and in again, and a sentence with its line for everything else."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.case import Case
from leakdx.errors import CaseError
from leakdx.store import jsonlines
from leakdx.store.jsonlines import json_text, read_json_lines
from tests.store.database.stores import SIX, a_case
from tests.store.test_casefile import cases


@settings(max_examples=150, deadline=None)
@given(found=st.lists(cases(), max_size=3))
def test_what_is_written_is_read_again_exactly(found: list[Case]) -> None:
    text = json_text(found)
    assert all(isinstance(json.loads(line), dict) for line in text.split("\n") if line)
    assert read_json_lines(text.encode(), "x.jsonl", SIX) == found


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (b"case: K", "x.jsonl, line 2: is no JSON; each line holds one whole case"),
        (b"[1]", "x.jsonl, line 2: is no case"),
        (b'{"case": "K", "log": [{"who": "AB", "saw": "nothing_known", "is": "no"}]}', "x.jsonl, line 2"),
        (b'{"case": "K", "case": "L", "log": []}', "x.jsonl, line 2: 'case' stands twice among the same fields"),
        (b'{"case": "K", "log": [{"who": "AB", "who": "CD", "note": "x"}]}', "x.jsonl, line 2: 'who' stands twice"),
        (b"[" * 100_000, "x.jsonl, line 2: is no JSON"),
        (b"\xff", "x.jsonl, line 2: is no JSON"),
    ],
)
def test_what_is_no_case_is_one_sentence_with_its_line(line: bytes, says: str) -> None:
    good = json_text([a_case()]).encode()
    with pytest.raises(CaseError) as raised:
        read_json_lines(good + line + b"\n", "x.jsonl", SIX)
    assert str(raised.value).startswith(says)


def test_a_file_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jsonlines, "MOST_BYTES", 10)
    with pytest.raises(CaseError, match="larger"):
        read_json_lines(b"x" * 11, "x.jsonl", SIX)


@settings(max_examples=100, deadline=None)
@given(data=st.binary(max_size=200))
def test_no_bytes_give_anything_but_cases_or_a_sentence(data: bytes) -> None:
    try:
        found = read_json_lines(data, "x.jsonl", SIX)
    except CaseError:
        return
    assert all(isinstance(case, Case) for case in found)
