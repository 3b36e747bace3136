"""Knowledge as nodes, before any type is given: entries by kind and id, with local folders laid over the shipped one.

A local entry of the same kind and id replaces the whole entry where it has every field that the kind
needs, and otherwise changes the fields that it has. The tables of ``words`` change word by word, those of
``trade`` number by number.
"""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import cast

import msgspec.inspect as mi
from msgspec import Struct

from leakdx.knowledge.convert import required_fields, struct_type
from leakdx.knowledge.faults import Code, Fault, Spot, suggest
from leakdx.knowledge.files import SourceFile
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.reader import Fields, Node, Scalar, parse_nodes

WORDS = "words"
TRADE = "trade"
TABLES = (WORDS, TRADE)
"""Kinds that are one entry of several tables each."""
COMPLAINT = "complaint"
HAS_NOT_LISTED = "has_not_listed"
SINGLE = (COMPLAINT, HAS_NOT_LISTED)


class Written(Struct, frozen=True):
    """An entry (or a table of ``words``, or a single value) as written."""

    key: Scalar
    value: Node


Layer = dict[str, dict[str, Written]]
"""kind -> id -> entry; of a single value the id is the kind."""


class Draft(Struct, frozen=True):
    """All entries of all folders, and the places they stand at."""

    entries: Mapping[str, Mapping[str, Written]]
    faults: tuple[Fault, ...]
    file: Spot
    """Where to report what is missing altogether."""
    unread: tuple[Spot, ...] = ()
    """Where reading a file broke off: nothing that it holds is among the entries."""

    def ids(self, kind: str) -> tuple[str, ...]:
        """The ids of a kind, faulty entries included; of ``words.links`` the words of that table."""
        if kind.startswith("words."):
            table = self.entries.get(WORDS, {}).get(kind.partition(".")[2])
            pairs = table.value.pairs if table is not None and isinstance(table.value, Fields) else ()
            return tuple(key.text for key, _ in pairs)
        return tuple(self.entries.get(kind, ()))

    def spot(self, kind: str, id: str, *path: str) -> Spot:
        """Where a field of an entry stands: as deep along ``path`` (keys, or numbers in a list) as it is written."""
        entry = self.entries.get(kind, {}).get(id)
        if entry is None:
            return self.file
        spot, node = entry.key.spot, entry.value
        for step in path:
            if isinstance(node, Fields):
                key, inner = node.key(step), node.get(step)
                if key is None or inner is None:
                    break
                spot, node = key.spot, inner
            elif not isinstance(node, Scalar) and step.isdigit() and int(step) < len(node.items):
                node = node.items[int(step)]
                spot = node.spot
        return spot


@cache
def kinds() -> Mapping[str, type]:
    """kind -> struct of its entries, read off the fields of ``Knowledge``."""
    fields = {field.name: field.type for field in struct_type(Knowledge).fields}
    return {
        name: cast(mi.StructType, type_.value_type).cls
        for name, type_ in fields.items()
        if isinstance(type_, mi.DictType)
    }


def make_draft(files: Iterable[SourceFile]) -> Draft:
    """Reads all files and lays the folders over each other. Never raises."""
    faults: list[Fault] = []
    unread: list[Spot] = []
    layers: dict[int, Layer] = {}
    first = Spot("knowledge")
    for number, file in enumerate(files):
        first = Spot(file.shown) if number == 0 else first
        tree = parse_nodes(file.data, file.shown)
        faults.extend(tree.faults)
        if tree.root is None:
            unread.extend(fault.spot for fault in tree.faults[-1:] if fault.code != Code.EMPTY)
        else:
            _add_file(tree.root, layers.setdefault(file.layer, {}), faults)
    merged: Layer = {}
    for number in sorted(layers):
        _lay_over(merged, layers[number])
    return Draft(merged, tuple(faults), first, tuple(unread))


def _add_file(root: Node, layer: Layer, faults: list[Fault]) -> None:
    if not isinstance(root, Fields):
        right = "begin with a kind such as 'causes:'"
        faults.append(Fault(root.spot, Code.WRONG_SHAPE, "the file is not a mapping of kinds", right))
        return
    known = (*kinds(), *TABLES, *SINGLE)
    for key, value in root.pairs:
        if key.text not in known:
            wrong = f"'{key.text}' is not a kind of knowledge"
            faults.append(Fault(key.spot, Code.UNKNOWN_KIND, wrong, suggest(key.text, known)))
        elif key.text in SINGLE:
            _add(layer, key.text, Written(key, value), faults)
        elif not isinstance(value, Fields):
            right = "write entries below it, each as 'id:' with its fields"
            faults.append(Fault(key.spot, Code.WRONG_SHAPE, f"'{key.text}' is not a mapping of entries", right))
        else:
            for id, entry in value.pairs:
                _add(layer, key.text, Written(id, entry), faults)


def _add(layer: Layer, kind: str, written: Written, faults: list[Fault]) -> None:
    entries = layer.setdefault(kind, {})
    first = entries.setdefault(written.key.text, written)
    if first is not written:
        wrong = f"{kind} '{written.key.text}' is written twice, first at {first.key.spot}"
        faults.append(Fault(written.key.spot, Code.DUPLICATE_ID, wrong, "keep one of the two, or give it another id"))


def _lay_over(below: Layer, above: Layer) -> None:
    for kind, entries in above.items():
        stock = below.setdefault(kind, {})
        for id, written in entries.items():
            base = stock.get(id)
            if base is None or _is_whole(kind, written):
                stock[id] = written
            else:
                stock[id] = _changed(base, written, deep=kind == TRADE)


def _is_whole(kind: str, written: Written) -> bool:
    cls = kinds().get(kind)
    if cls is None or not isinstance(written.value, Fields):
        return kind not in TABLES
    return all(written.value.key(field) is not None for field in required_fields(cls))


def _changed(base: Written, change: Written, deep: bool) -> Written:
    """The entry with the fields of a change in place of its own; ``deep``: and so on in fields that have fields."""
    if not isinstance(base.value, Fields) or not isinstance(change.value, Fields):
        return change
    pairs = {key.text: (key, value) for key, value in base.value.pairs}
    for key, value in change.value.pairs:
        own = pairs.get(key.text)
        within = deep and own is not None and isinstance(own[1], Fields) and isinstance(value, Fields)
        pairs[key.text] = (key, _changed(Written(*own), Written(key, value), deep).value if within and own else value)
    return Written(change.key, Fields(tuple(pairs.values()), change.value.spot))
