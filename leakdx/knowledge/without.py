"""Knowledge with some entries taken out, and with them whatever names them. Made in memory; no file is touched.

What names a taken entry is taken as far as needed and no further: a key of a table, a member of a list, a conclusion.
A rule that loses a premise goes, since with less to ask for it would fire more often; one that asks for a thing's
absence only loses that condition. An entry left with nothing that it must have goes too, and what names it in turn.
"""

import hashlib
from collections.abc import Collection, Iterable, Mapping
from functools import cache
from typing import Any, Final

import msgspec.inspect as mi
from msgspec import Struct, structs

from leakdx.knowledge.actions import Conclusion, Condition, Rule
from leakdx.knowledge.convert import struct_type
from leakdx.knowledge.draft import kinds
from leakdx.knowledge.entry import (
    Entry,
)
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.place_signs import place_signs

Name = tuple[str, str]
"""(kind, id), as in ("causes", "old_spill")."""


class _Gone:
    """Stands for a value that goes with what was taken out."""


_GONE: Final = _Gone()


def without(knowledge: Knowledge, taken: Iterable[Name]) -> Knowledge:
    """The knowledge less these entries and all that names them; its hash tells it from every other.

    Shares are left as they are. Raises KeyError where an entry is not there.
    """
    gone = set(taken)
    for kind, id in gone:
        getattr(knowledge, kind)[id]
    tables: dict[str, dict[str, Any]] = {kind: dict(getattr(knowledge, kind)) for kind in kinds()}
    before = -1
    while len(gone) > before:
        before = len(gone)
        gone.update(("places", id) for kind, id in tuple(gone) if kind == "zones")  # a zone is a wet place as well
        for kind, table in tables.items():
            left = {id: _entry(entry, gone) for id, entry in table.items() if (kind, id) not in gone}
            gone.update((kind, id) for id, entry in left.items() if entry is _GONE)
            tables[kind] = {id: entry for id, entry in left.items() if entry is not _GONE}
        gone.update(("signs", sign) for sign in _unplaced(knowledge, tables))
    digest = hashlib.sha256(f"{knowledge.hash} without {sorted(gone)}".encode()).hexdigest()
    return structs.replace(knowledge, **tables, hash=digest)


def _unplaced(knowledge: Knowledge, tables: Mapping[str, Mapping[str, Any]]) -> Iterable[str]:
    """Place signs whose zone, place or path is gone."""
    made = place_signs(knowledge.words, tables["zones"], tables["places"])
    return (id for id, sign in tables["signs"].items() if sign.place and id not in made)


def _entry(entry: Struct, gone: Collection[Name]) -> Any:
    """The entry less what names something gone, or _GONE."""
    changed = {}
    for field in _naming(type(entry)):
        value = getattr(entry, field.name)
        left = _value(value, field.type, gone)
        if left is _GONE and isinstance(entry, Entry) and not field.required:
            left = field.default
        if left is _GONE or _is_lost(entry, field.name, value, left, gone):
            return _GONE
        if left is not value:
            changed[field.name] = left
    return structs.replace(entry, **changed) if changed else entry


def _is_lost(owner: Struct, field: str, before: Any, left: Any, gone: Collection[Name]) -> bool:
    """Whether a list that was cut short takes its owner with it."""
    if isinstance(owner, Rule) and field == "when":
        lost = any(not condition.absent and _entry(condition, gone) is _GONE for condition in before)
        return lost or not left
    is_needed = isinstance(owner, Condition | Conclusion) or field in ("then", "reveals")
    return is_needed and bool(before) and not left


def _value(value: Any, type_: mi.Type, gone: Collection[Name]) -> Any:
    """A value less what names something gone; the very same where nothing does."""
    if isinstance(value, str):
        return _GONE if any((kind, value) in gone for kind in _kinds_meant(type_)) else value
    if isinstance(value, Struct):
        return _entry(value, gone)
    if isinstance(type_, mi.DictType):
        pairs = {k: _value(v, type_.value_type, gone) for k, v in value.items()}
        left = {k: v for k, v in pairs.items() if v is not _GONE and _value(k, type_.key_type, gone) is not _GONE}
        return value if all(left.get(k) is v for k, v in value.items()) else left
    if isinstance(type_, mi.VarTupleType):
        items = [_value(item, type_.item_type, gone) for item in value]
        kept = tuple(new for old, new in zip(value, items, strict=True) if new is not _GONE and not _emptied(old, new))
        return value if len(kept) == len(value) and all(map(_is_same, kept, value)) else kept
    return value


def _emptied(old: Any, new: Any) -> bool:
    """A list within a list, "one of these", of which none is left."""
    return isinstance(old, tuple) and bool(old) and not new


def _is_same(one: object, other: object) -> bool:
    return one is other


def _kinds_meant(type_: mi.Type) -> tuple[str, ...]:
    """The kinds that a text of this type may name an entry of."""
    if isinstance(type_, mi.UnionType):
        return tuple(kind for inner in type_.types for kind in _kinds_meant(inner))
    return tuple((type_.extra or {}).get("ref", ())) if isinstance(type_, mi.Metadata) else ()


@cache
def _naming(cls: type) -> tuple[mi.Field, ...]:
    """The fields of a struct that can name entries."""
    return tuple(field for field in struct_type(cls).fields if _names_ids(field.type))


def _names_ids(type_: mi.Type) -> bool:
    """Whether a value of this type can name an entry of any kind at all."""
    if isinstance(type_, mi.DictType):
        return _names_ids(type_.key_type) or _names_ids(type_.value_type)
    if isinstance(type_, mi.VarTupleType):
        return _names_ids(type_.item_type)
    if isinstance(type_, mi.UnionType):
        return any(map(_names_ids, type_.types))
    if isinstance(type_, mi.StructType):
        return any(_names_ids(field.type) for field in type_.fields)
    return bool(set(_kinds_meant(type_)) & set(kinds()))
