"""Turns nodes into the frozen structs of the model, driven by their types, and collects every fault on the way.

The types come from ``msgspec.inspect``; a field added to a struct needs nothing here. Ids that must
belong to some kind are gathered as references, to be checked once everything has been read.
"""

import math
import re
from collections.abc import Callable, Mapping
from functools import cache
from itertools import pairwise
from typing import Any, Final, cast

import msgspec.inspect as mi
from msgspec import Struct

from leakdx.clean import clean
from leakdx.knowledge.faults import Code, Fault, Spot, nearest, suggest
from leakdx.knowledge.reader import Fields, Items, Node, Scalar


class _Faulty:
    """Stands for a value that could not be made; its fault is in the list."""


FAULTY: Final = _Faulty()

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
_WHOLE = re.compile(r"[+-]?\d{1,18}", re.ASCII)
"""Python itself refuses to read thousands of digits, and nothing here counts so far."""
_SHOWN = 40
"""Characters of a written value that a sentence bears."""
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+")
_NUMBER_FIRST = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)\s*[^\d.\s][^\d.]*")
_CHANCE = mi.FloatType(ge=0, le=1)
_MARKS = ("mark", "reason")
_BAND = "three numbers, [low, likely, high]"
_BLANKS: Mapping[type, object] = {
    mi.FloatType: 0.0,
    mi.IntType: 0,
    mi.BoolType: False,
    mi.DictType: {},
    mi.VarTupleType: (),
}


class Reference(Struct, frozen=True):
    """An id that must be defined by one of ``kinds``, or be one of ``others``."""

    kinds: tuple[str, ...]
    text: str
    spot: Spot
    others: tuple[str, ...] = ()


@cache
def struct_type(cls: type) -> mi.StructType:
    """The fields and types of a struct."""
    return cast(mi.StructType, mi.type_info(cls))


@cache
def written_fields(cls: type) -> Mapping[str, mi.Field]:
    """The fields that an author may write, by the name that is written."""
    return {f.encode_name: f for f in struct_type(cls).fields if not _extra(f.type).get("set_by_loader")}


def required_fields(cls: type) -> tuple[str, ...]:
    """The fields that must be written."""
    return tuple(name for name, f in written_fields(cls).items() if f.required)


def _extra(type_: mi.Type) -> Mapping[str, Any]:
    return (type_.extra or {}) if isinstance(type_, mi.Metadata) else {}


def _blank(type_: mi.Type) -> object:
    """An empty value of a type."""
    bare = _bare(type_)
    if isinstance(bare, mi.LiteralType):
        return bare.values[0]
    if isinstance(bare, mi.TupleType):
        return tuple(_blank(inner) for inner in bare.item_types)
    return _BLANKS.get(type(bare), "")


def _bare(type_: mi.Type) -> mi.Type:
    return type_.type if isinstance(type_, mi.Metadata) else type_


class Converter:
    """Converts nodes to values; ``faults`` and ``references`` grow as it goes.

    With ``printable`` a text that holds control characters is a fault (an escape in quotes can bring them in).
    """

    def __init__(self, printable: bool = False) -> None:
        self.printable = printable
        self.faults: list[Fault] = []
        self.references: list[Reference] = []
        self._by_type: dict[type, Callable[[Any, Any, str], object]] = {
            mi.StrType: self._text,
            mi.FloatType: self._number,
            mi.IntType: self._number,
            mi.BoolType: self._flag,
            mi.LiteralType: self._literal,
            mi.DictType: self._mapping,
            mi.VarTupleType: self._list,
            mi.TupleType: self._fixed_list,
            mi.StructType: self._nested_struct,
            mi.UnionType: self._union,
            mi.Metadata: self._with_meta,
        }

    def convert(self, node: Node, type_: mi.Type, name: str) -> object:
        """The value that ``node`` means as ``type_``, or FAULTY. ``name`` is the field's, for the sentence."""
        if isinstance(node, Scalar) and not node.text and not node.quoted:
            return self._fault(node.spot, Code.NOTHING_WRITTEN, f"'{name}' has no value", "write one or leave it out")
        return self._by_type[type(type_)](node, type_, name)

    def struct(self, node: Node, cls: type, spot: Spot, name: str, **given: object) -> object:
        """The struct that a mapping means, or FAULTY. ``spot`` is where missing fields are reported."""
        values, is_sound = self._values(node, cls, spot, name)
        return cls(**values, **given) if is_sound else FAULTY

    def entry(self, node: Node, cls: type, spot: Spot, name: str, **given: object) -> tuple[object, bool]:
        """The struct with blanks for what could not be made, so that its other fields can be checked; is it sound?"""
        values, is_sound = self._values(node, cls, spot, name)
        fields = written_fields(cls)
        lacking = (fields[needed] for needed in required_fields(cls))
        blanks = {field.name: _blank(field.type) for field in lacking if field.name not in values}
        return cls(**values, **blanks, **given), is_sound

    def _values(self, node: Node, cls: type, spot: Spot, name: str) -> tuple[dict[str, object], bool]:
        """The fields that could be converted, and whether that is all of them."""
        before = len(self.faults)
        values: dict[str, object] = {}
        if not isinstance(node, Fields):
            right = "write its fields below it, as 'field: value'"
            self._fault(node.spot, Code.WRONG_SHAPE, f"'{name}' is not a mapping", right)
            return values, False
        fields = written_fields(cls)
        for key, value in node.pairs:
            field = fields.get(key.text)
            if field is None:
                self._unknown_field(key, value, cls, name)
                continue
            made = self.convert(value, field.type, key.text)
            if made is not FAULTY:
                values[field.name] = made
        for missing in required_fields(cls):
            if node.key(missing) is None:
                self._missing(spot, missing, name)
        return values, len(self.faults) == before

    def _fault(self, spot: Spot, code: Code, wrong: str, right: str) -> _Faulty:
        self.faults.append(Fault(spot, code, wrong, right))
        return FAULTY

    def _unknown_field(self, key: Scalar, value: Node, cls: type, name: str) -> None:
        if any(f.encode_name == key.text for f in struct_type(cls).fields):
            wrong = f"'{key.text}' of '{name}' is set by the loader"
            self._fault(key.spot, Code.MADE_BY_LOADER, wrong, "leave it out")
            return
        right = suggest(key.text, written_fields(cls))
        if " " in key.text and isinstance(value, Scalar) and not value.text:
            right = "a comma inside { } ends a text, so put the text before it in quotes"
        self._fault(key.spot, Code.UNKNOWN_FIELD, f"'{name}' has no field '{key.text}'", right)

    def _missing(self, spot: Spot, field: str, name: str) -> None:
        if field in _MARKS:
            right = "say where the number or sentence comes from" if field == "mark" else "say why in one sentence"
            self._fault(spot, Code.MISSING_MARK, f"'{name}' has no {field}", right)
        else:
            self._fault(spot, Code.MISSING_FIELD, f"'{name}' lacks the field '{field}'", "write it")

    def _scalar(self, node: Node, name: str, wanted: str) -> Scalar | None:
        if isinstance(node, Scalar):
            return node
        found = "a list" if isinstance(node, Items) else "a mapping"
        self._fault(node.spot, Code.WRONG_SHAPE, f"'{name}' is {found}", f"write {wanted}")
        return None

    def _text(self, node: Node, type_: mi.StrType, name: str) -> object:
        scalar = self._scalar(node, name, "one text")
        if scalar is None:
            return FAULTY
        text = scalar.text.rstrip("\n") if scalar.block else scalar.text
        if len(text.strip()) < (type_.min_length or 0):
            return self._fault(scalar.spot, Code.NOTHING_WRITTEN, f"'{name}' is empty", "write it or leave it out")
        if self.printable and clean(text) != text:
            return self._fault(scalar.spot, Code.NOT_TEXT, f"'{name}' holds control characters", "write plain text")
        return text

    def _number(self, node: Node, type_: mi.FloatType | mi.IntType, name: str) -> object:
        scalar = self._scalar(node, name, "one number")
        if scalar is None:
            return FAULTY
        whole = isinstance(type_, mi.IntType)
        if not (_WHOLE if whole else _NUMBER).fullmatch(scalar.text) or not math.isfinite(float(scalar.text)):
            return self._not_a_number(scalar, name, whole)
        value = int(scalar.text) if whole else float(scalar.text)
        return value if _is_inside(value, type_) else self._out_of_range(scalar.spot, value, type_, name)

    def _out_of_range(self, spot: Spot, value: float, type_: mi.FloatType | mi.IntType, name: str) -> _Faulty:
        if (type_.ge, type_.le) == (0, 1) and 1 < value <= 100:
            right = f"a share of 1 is wanted, did you mean {value / 100:g}?"
        else:
            bounds = (("at least", type_.ge), ("above", type_.gt), ("at most", type_.le), ("below", type_.lt))
            right = f"it must be {' and '.join(f'{word} {bound:g}' for word, bound in bounds if bound is not None)}"
        return self._fault(spot, Code.OUT_OF_RANGE, f"'{name}' is {value:g}, out of range", right)

    def _not_a_number(self, scalar: Scalar, name: str, whole: bool) -> _Faulty:
        right = "write a whole number such as 12" if whole else "write a number such as 0.35"
        if _NUMBER_FIRST.fullmatch(scalar.text):
            right = "write the number alone, without a unit or sign"
        if _DECIMAL_COMMA.fullmatch(scalar.text):
            right = f"write {scalar.text.replace(',', '.')}, with a point"
        shown = scalar.text if len(scalar.text) <= _SHOWN else f"{scalar.text[:_SHOWN]}..."
        return self._fault(scalar.spot, Code.NOT_A_NUMBER, f"'{name}' is '{shown}', not a number", right)

    def _flag(self, node: Node, _: mi.BoolType, name: str) -> object:
        scalar = self._scalar(node, name, "true or false")
        if scalar is None:
            return FAULTY
        if scalar.text in ("true", "false"):
            return scalar.text == "true"
        return self._fault(scalar.spot, Code.NOT_ALLOWED, f"'{name}' is '{scalar.text}'", "write true or false")

    def _literal(self, node: Node, type_: mi.LiteralType, name: str) -> object:
        scalar = self._scalar(node, name, "one word")
        if scalar is None:
            return FAULTY
        if scalar.text in type_.values:
            return scalar.text
        allowed = [str(value) for value in type_.values]
        near = nearest(scalar.text, allowed)
        right = f"did you mean '{near}'?" if near else f"write one of: {', '.join(allowed)}"
        return self._fault(scalar.spot, Code.NOT_ALLOWED, f"'{name}' cannot be '{scalar.text}'", right)

    def _mapping(self, node: Node, type_: mi.DictType, name: str) -> object:
        if not isinstance(node, Fields):
            right = "write 'key: value' pairs below it, or {} for none"
            if isinstance(node, Items) and any(isinstance(item, Fields) for item in node.items):
                right = "take away the dashes in front of its 'key: value' pairs"
            return self._fault(node.spot, Code.WRONG_SHAPE, f"'{name}' is not a mapping", right)
        made: dict[object, object] = {}
        for key, value in node.pairs:
            made[self.convert(key, type_.key_type, name)] = self.convert(value, type_.value_type, key.text)
        self._long_enough(node, len(node.pairs), type_.min_length, name)
        return FAULTY if FAULTY in made or FAULTY in made.values() else made

    def _list(self, node: Node, type_: mi.VarTupleType, name: str) -> object:
        if not isinstance(node, Items):
            right = f"write [{node.text}]" if isinstance(node, Scalar) else "write [one, another]"
            return self._fault(node.spot, Code.WRONG_SHAPE, f"'{name}' is not a list", right)
        made = tuple(self.convert(item, type_.item_type, name) for item in node.items)
        self._long_enough(node, len(made), type_.min_length, name)
        return FAULTY if FAULTY in made else made

    def _long_enough(self, node: Node, have: int, least: int | None, name: str) -> None:
        if have < (least or 0):
            wrong = f"'{name}' has {('no entries', 'one entry')[have] if have < 2 else f'{have} entries'}"
            self._fault(node.spot, Code.NOTHING_WRITTEN, wrong, f"write {'one' if least == 1 else f'at least {least}'}")

    def _fixed_list(self, node: Node, type_: mi.TupleType, name: str) -> object:
        wanted = len(type_.item_types)
        if not isinstance(node, Items) or len(node.items) != wanted:
            what, right = ("a pair", "two numbers, [low, high]") if wanted == 2 else ("a band", _BAND)
            return self._fault(node.spot, Code.WRONG_SHAPE, f"'{name}' is not {what}", f"write {right}")
        made = tuple(self.convert(item, t, name) for item, t in zip(node.items, type_.item_types, strict=True))
        if FAULTY in made:
            return FAULTY
        numbers = cast(tuple[float, ...], made)
        for before, after in pairwise(numbers):
            if before > after:
                wrong = f"'{name}' runs from {before:g} down to {after:g}"
                right = f"[{', '.join(f'{number:g}' for number in sorted(numbers))}]"
                return self._fault(node.spot, Code.RANGE_REVERSED, wrong, f"write {right}")
        return made

    def _nested_struct(self, node: Node, type_: mi.StructType, name: str) -> object:
        return self.struct(node, type_.cls, node.spot, name)

    def _with_meta(self, node: Node, type_: mi.Metadata, name: str) -> object:
        return self._referring(node, type_, name, ())

    def _referring(self, node: Node, type_: mi.Type, name: str, others: tuple[str, ...]) -> object:
        """A value that may be an id; ``others`` are words that would do in its place."""
        made = self.convert(node, _bare(type_), name)
        extra = _extra(type_)
        if made is FAULTY:
            return FAULTY
        if "ref" in extra:
            self.references.append(Reference(extra["ref"], cast(str, made), node.spot, others))
        return self._raw_chance(node, made, name) if extra.get("chance") else made

    def _raw_chance(self, node: Node, made: object, name: str) -> object:
        value = cast(float, getattr(made, "value", 0.0))
        if _is_inside(value, _CHANCE):
            return made
        spot = (node.get("value") or node).spot if isinstance(node, Fields) else node.spot
        return self._out_of_range(spot, value, _CHANCE, name)

    def _union(self, node: Node, type_: mi.UnionType, name: str) -> object:
        choices = [t for t in type_.types if not isinstance(t, mi.NoneType)]
        nested = [t for t in choices if isinstance(_bare(t), mi.StructType)]
        if nested and isinstance(node, Fields):
            return self.convert(node, nested[0], name)
        rest = [t for t in choices if t not in nested]
        words = [str(v) for t in rest if isinstance(t, mi.LiteralType) for v in t.values]
        if isinstance(node, Scalar) and node.text in words:
            return node.text
        if nested and isinstance(node, Scalar) and _NUMBER.fullmatch(node.text):
            right = f"write a word, or {{value: {node.text}, mark: ..., reason: ...}}"
            return self._fault(node.spot, Code.NOT_A_NUMBER, f"'{name}' is the bare number {node.text}", right)
        return self._referring(node, rest[0], name, tuple(words))


def _is_inside(value: float, type_: mi.FloatType | mi.IntType) -> bool:
    return (
        (type_.ge is None or value >= type_.ge)
        and (type_.gt is None or value > type_.gt)
        and (type_.le is None or value <= type_.le)
        and (type_.lt is None or value < type_.lt)
    )
