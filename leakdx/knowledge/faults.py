"""Faults of YAML input: a code, a place, what is wrong and what would be right."""

from collections.abc import Iterable, Sequence
from enum import StrEnum

from msgspec import Struct

from leakdx.clean import clean_line

_LONGEST = 300
"""Characters of one part of a sentence; it may quote what was typed."""
_LONGEST_WORD = 80
"""Longer ones are not looked up among known words."""


class Code(StrEnum):
    """Kinds of fault: K1 reading, K2 shape, K3 names, K4 meaning. Each has a heading in docs/knowledge_faults.md."""

    UNREADABLE = "K101"
    TOO_LARGE = "K102"
    NOT_TEXT = "K103"
    NOT_YAML = "K104"
    TOO_DEEP = "K105"
    NOT_PLAIN_YAML = "K106"
    DUPLICATE_KEY = "K107"
    EMPTY = "K108"
    NOT_CHECKED = "K109"

    UNKNOWN_KIND = "K201"
    UNKNOWN_FIELD = "K202"
    MISSING_FIELD = "K203"
    MISSING_MARK = "K204"
    WRONG_SHAPE = "K205"
    NOT_A_NUMBER = "K206"
    OUT_OF_RANGE = "K207"
    NOT_ALLOWED = "K208"
    BAD_ID = "K209"
    DUPLICATE_ID = "K210"
    NOTHING_WRITTEN = "K211"
    RANGE_REVERSED = "K212"

    UNKNOWN_ID = "K301"
    UNKNOWN_MARK = "K302"
    UNKNOWN_WORD = "K303"
    UNKNOWN_ANSWER = "K304"
    AMBIGUOUS_ID = "K305"
    MADE_BY_LOADER = "K306"

    LOOK_SUM = "K401"
    LOOK_MISUSED = "K402"
    CYCLE = "K403"
    SUM_OF_SHARES = "K404"
    SHARE_NOT_MET = "K405"
    SUM_OF_COMMON = "K406"
    ONE_SUBJECT = "K407"
    COMPANION = "K408"
    STRATUM = "K409"
    TOO_LARGE_TABLE = "K410"
    STRAY = "K411"
    MEASURE = "K412"
    NOT_WHOLE = "K413"
    UNIT = "K414"
    PHASE = "K415"


class Spot(Struct, frozen=True, order=True):
    """A place in a file; lines and columns count from 1."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class Fault(Struct, frozen=True, order=True):
    """One fault. ``wrong`` and ``right`` are parts of one sentence, without a full stop."""

    spot: Spot
    code: str
    wrong: str
    right: str

    @property
    def sentence(self) -> str:
        """What is wrong; what would be right."""
        return f"{_short(self.wrong)}; {_short(self.right)}"

    def __str__(self) -> str:
        return f"{self.spot}: {self.code} {self.sentence}"


def _short(part: str) -> str:
    """Safe to print, whatever was typed: one line, no control characters, not endless."""
    line = clean_line(part)
    return line if len(line) <= _LONGEST else f"{line[: _LONGEST - 3]}..."


def in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Without repetitions, by file, line and column."""
    return tuple(sorted(set(faults)))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that was most likely meant by a misspelt one, or None."""
    from difflib import get_close_matches  # not needed on a clean start

    found = get_close_matches(word[:_LONGEST_WORD].lower(), sorted(known), n=1, cutoff=0.6)
    return found[0] if found else None


def suggest(word: str, known: Sequence[str] | Iterable[str], none: str = "none is known yet") -> str:
    """What would be right in place of an unknown word: the nearest known one, or what there is."""
    names = sorted(set(known))
    near = nearest(word, names)
    if near is not None:
        return f"did you mean '{near}'?"
    if not names:
        return none
    shown = ", ".join(names[:8])
    return f"known are {shown}" + (f" and {len(names) - 8} more" if len(names) > 8 else "")
