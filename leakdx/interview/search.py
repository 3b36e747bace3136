"""Something else that was seen, told or done: found by the trade's words, their synonyms, and a customer's words."""

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct

from leakdx.clean import clean_line
from leakdx.explain.plain import plain_words
from leakdx.knowledge.entry import Entry
from leakdx.knowledge.faults import nearest
from leakdx.knowledge.model import Knowledge

FoundKind = Literal["sign", "told", "done"]
MOST_FOUND = 60
_WORD = re.compile(r"[^\W_]+")
_SMALL = frozenset({"a", "an", "the", "it", "is", "was", "of", "on", "in", "at", "to", "and", "or", "with"})
_WHOLE, _BEGINS, _WITHIN = 3, 2, 1
_DONE_LATER = 0.2
"""Of what fits alike, what is seen or told comes before what is done: a repair is not written down by mistake."""
_LEAST_OF_WITHIN = 3
"""Letters of a typed word that may stand in the middle of one."""


class Found(Struct, frozen=True):
    """One thing that can be written down. ``more``: what it says of itself, where that is not its name."""

    kind: FoundKind
    id: str
    name: str
    more: str = ""


class Search:
    """All that can be seen, told or done, to be searched as it is typed."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._rows = [(found, texts) for found, texts in _all(knowledge)]
        self._words = sorted({word for _, texts in self._rows for text in texts for word in _WORD.findall(text)})

    def find(self, typed: str) -> tuple[Found, ...]:
        """What fits, the best first: each typed word must fit a word of it. All of it where nothing is typed."""
        wanted = [word for word in _WORD.findall(clean_line(typed).casefold()) if word not in _SMALL]
        found = self._ranked(wanted)
        if not found and wanted:
            found = self._ranked([nearest(word, self._words) or word for word in wanted])
        return tuple(found[:MOST_FOUND])

    def _ranked(self, wanted: list[str]) -> list[Found]:
        scored = [(_score(wanted, texts), row) for row, texts in self._rows]
        fits = [(score - (_DONE_LATER if row.kind == "done" else 0), row) for score, row in scored if score > 0]
        return [row for _, row in sorted(fits, key=lambda one: -one[0])]


def _score(wanted: list[str], texts: tuple[str, ...]) -> float:
    """How well the words fit, the first text (the name) counting most; 0 where one of them fits nothing."""
    if not wanted:
        return 1.0
    total = 0.0
    for word in wanted:
        best = max((_fit(word, text) / (1 + place / 4) for place, text in enumerate(texts)), default=0.0)
        if best == 0:
            return 0.0
        total += best
    return total - len(texts[0]) / 1000  # of two that fit alike the shorter name


def _fit(word: str, text: str) -> int:
    words = _WORD.findall(text)
    if word in words:
        return _WHOLE
    if any(one.startswith(word) for one in words):
        return _BEGINS
    return _WITHIN if len(word) >= _LEAST_OF_WITHIN and word in text else 0


def _all(knowledge: Knowledge) -> Iterator[tuple[Found, tuple[str, ...]]]:
    asked = {id for check in knowledge.checks.values() for id in check.reveals}
    kinds: tuple[tuple[FoundKind, Mapping[str, Entry]], ...] = (
        ("sign", {id: sign for id, sign in knowledge.signs.items() if id in asked}),
        ("told", {id: group for id, group in knowledge.history.items() if id in asked}),
        ("done", {**knowledge.acts, **knowledge.repairs}),
    )
    for kind, entries in kinds:
        for id, entry in entries.items():
            question = str(getattr(entry, "question", ""))
            texts = [entry.name, *entry.synonyms, question, plain_words(knowledge.words.plain, entry.name)]
            folded = tuple(text.casefold() for text in texts if text)
            yield Found(kind, id, entry.name, question), folded
