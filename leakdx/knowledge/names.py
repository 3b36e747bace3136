"""From a word that someone typed to the id that was meant: by id, by name, by the trade's own synonyms."""

import re
from collections.abc import Iterator, Mapping

from leakdx.knowledge.faults import nearest
from leakdx.knowledge.model import Entry

FEWEST_LETTERS = 3
_ENDING = re.compile(r"(?:ed|ing|e)$")


def meant(word: str, entries: Mapping[str, Entry]) -> str | None:
    """The one entry whose id, name or synonym is this word, whatever the case; None for none or several."""
    if word in entries:
        return word
    wanted = word.casefold()
    found = {id for name, id in _names(entries) if name == wanted}
    return found.pop() if len(found) == 1 else None


def alike(word: str, entries: Mapping[str, Entry]) -> dict[str, bool]:
    """Entries with a word in a name that begins as this one does ("sealed": "reseal with a gasket" too).

    With each, whether a whole name begins so. Endings of doing (-ed, -ing) do not count; a word of fewer than three
    letters is like nothing.
    """
    stem = _ENDING.sub("", word.casefold().strip())
    if len(stem) < FEWEST_LETTERS:
        return {}
    like = re.compile(rf"\b(?:re)?{re.escape(stem)}")
    found: dict[str, bool] = {}
    for name, id in _names(entries):
        match = like.search(name)
        if match is not None:
            found[id] = found.get(id, False) or match.start() == 0
    return found


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
