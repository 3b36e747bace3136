"""A case as rows and back: the log in the lines of a case file, sealed so that damage shows."""

import hashlib
from collections.abc import Iterator, Sequence
from typing import Any

from leakdx.case import Case, LogEntry, Measurement, Observation, Reading
from leakdx.clean import clean_line
from leakdx.errors import StorageError
from leakdx.store.caseyaml import entry_text, head_text

LONGEST_ID = 64


def folded(id: str) -> str:
    """An id as it is looked up: typed in capitals or not, it is the same case."""
    return clean_line(id).casefold()


def refuse_odd_id(id: str) -> None:
    """StorageError for an id that could be taken for a file, or that nobody can type."""
    if id != clean_line(id) or not id or len(id) > LONGEST_ID:
        wrong = f"'{clean_line(id)[:40]}' cannot be an id in the store"
        raise StorageError(f"{wrong}; give another with --as: one line of at most {LONGEST_ID} characters")
    looks_like_file = id.casefold().endswith((".yaml", ".yml", ".zip"))
    if any(mark in id for mark in '/\\:*?"<>|') or id[0] in ".-~" or looks_like_file:
        raise StorageError(f"'{id[:40]}' looks like a file and cannot be an id in the store; give another with --as")


def drawn_from(case: Case) -> dict[str, Any]:
    """The columns of ``cases`` that are drawn from head and log."""
    texts = [case.id, case.unit, case.story, case.axle or "", *case.truck.values()]
    texts += [text for entry in case.log for text in (entry.note, getattr(entry, "text", "")) if text]
    return {
        "unit": case.unit,
        "unit_folded": clean_line(case.unit).casefold(),
        "outcome": case.closed,
        "words": clean_line(" ".join(texts)).casefold(),
    }


def head_row(key: int, case: Case, revision: int, written: str) -> dict[str, Any]:
    """The row of a head."""
    text = head_text(case)
    return {
        "case_key": key,
        "revision": revision,
        "written": written,
        "text": text,
        "seal": seal(str(revision), text),
    }


def entry_rows(key: int, entries: Sequence[LogEntry], before: str, written: str) -> Iterator[dict[str, Any]]:
    """The rows of entries; ``before``: the seal of the last one that stands there already, or ''."""
    for entry in entries:
        body = entry_text(entry)
        before = seal(before, body)
        yield {
            "case_key": key,
            "number": entry.number,
            "written": written,
            "who": entry.who,
            "kind": str(entry.__struct_config__.tag),
            "tool": entry.tool.casefold() if isinstance(entry, Observation | Reading | Measurement) else "",
            "body": body,
            "seal": before,
        }


def seal(before: str, text: str) -> str:
    """SHA-256 of a text behind what stands before it."""
    return hashlib.sha256(f"{before}\n{text}".encode()).hexdigest()


def broken_at(bodies: Sequence[str], seals: Sequence[str]) -> int | None:
    """The number of the first entry that is not as it was written; None where all are."""
    before = ""
    for number, (body, kept) in enumerate(zip(bodies, seals, strict=True), start=1):
        before = seal(before, body)
        if before != kept:
            return number
    return None


def file_text(head: str, bodies: Sequence[str]) -> str:
    """The case as a case file."""
    return head + ("log:\n" + "".join(f"  - {body}\n" for body in bodies) if bodies else "log: []\n")
