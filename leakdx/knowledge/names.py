"""From a word that someone typed to the id that was meant: by id, by name, by the trade's own synonyms."""

import re
from collections.abc import Iterator, Mapping

from leakdx.knowledge.entry import Entry
from leakdx.knowledge.faults import nearest

FEWEST_LETTERS = 3
_WORD = re.compile(r"[^\W_]+")
_SMALL = frozenset(
    {"a", "an", "the", "it", "its", "was", "were", "has", "been", "of", "on", "in", "at", "to", "and", "or", "with"}
)
_ENDINGS = ("ing", "ed", "es", "s", "e")
_SHORTEST = 4
"""Letters of a stem; what is shorter loses nothing."""


def meant(word: str, entries: Mapping[str, Entry]) -> str | None:
    """The one entry that a word or a few mean, by id, name or synonym, whatever the case; None for none or several.

    Where none is worded so, the one that is but for endings and small words: "resealed with the sealant" is "reseal
    with sealant".
    """
    if word in entries:
        return word
    wanted, stems = word.casefold(), _stems(word)
    found = {id for name, id in _names(entries) if name == wanted}
    found = found or {id for name, id in _names(entries) if stems and _stems(name) == stems}
    return found.pop() if len(found) == 1 else None


def alike(word: str, entries: Mapping[str, Entry]) -> dict[str, bool]:
    """Entries with a word in a name that begins as this one does ("sealed": "reseal with a gasket" too).

    With each, whether a whole name begins so. Endings do not count; a word of fewer than three
    letters is like nothing.
    """
    stem = _without_ending(word.casefold().strip())
    if len(stem) < FEWEST_LETTERS:
        return {}
    like = re.compile(rf"\b(?:re)?{re.escape(stem)}")
    found: dict[str, bool] = {}
    for name, id in _names(entries):
        match = like.search(name)
        if match is not None:
            found[id] = found.get(id, False) or match.start() == 0
    return found


def _stems(words: str) -> frozenset[str]:
    """What is left of each word without its ending and a leading "re"; small words are none."""
    return frozenset(_stem(word) for word in _WORD.findall(words.casefold()) if word not in _SMALL)


def _stem(word: str) -> str:
    word = _without_ending(word)
    return word.removeprefix("re") if len(word) >= len("re") + _SHORTEST else word


def _without_ending(word: str) -> str:
    """The word less an ending of doing or number, where enough of it is left."""
    kept = (ending for ending in _ENDINGS if word.endswith(ending) and len(word) >= len(ending) + _SHORTEST)
    return word.removesuffix(next(kept, ""))


def nearest_id(word: str, entries: Mapping[str, Entry]) -> str | None:
    """The entry whose id, name or synonym is nearest to a misspelt word; None where none is near."""
    exact = meant(word, entries)
    if exact is not None:
        return exact
    names = dict(_names(entries))
    near = nearest(word.casefold(), names)
    return None if near is None else names[near]


def _names(entries: Mapping[str, Entry]) -> Iterator[tuple[str, str]]:
    """(folded name, id) for each way to say each entry."""
    for id, entry in entries.items():
        for name in (id, id.replace("_", " "), entry.name, *entry.synonyms):
            yield name.casefold(), id
