"""The converter makes the very struct that was written down, for every kind of entry."""

import math
from typing import Any

import msgspec
import msgspec.inspect as mi
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from leakdx.knowledge.convert import FAULTY, Converter, struct_type, written_fields
from leakdx.knowledge.draft import kinds
from leakdx.knowledge.entry import (
    Words,
)
from leakdx.knowledge.faults import Spot
from leakdx.knowledge.model import Cause
from leakdx.knowledge.reader import parse_nodes

TEXTS = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\x85\u2028\u2029\ufeff"), max_size=12
)


WORDS = st.sampled_from(["often", "nearly always", "no", "1:30"])


def values(type_: mi.Type) -> st.SearchStrategy[Any]:
    """Values of a type of the model."""
    match type_:
        case mi.Metadata(type=inner):
            extra = type_.extra or {}
            return chances(inner) if extra.get("chance") else values(inner)
        case mi.StrType(min_length=least):
            return TEXTS.filter(lambda text: len(text.strip()) >= (least or 0))
        case mi.FloatType() | mi.IntType():
            low = next((bound for bound in (type_.ge, type_.gt) if bound is not None), -1e6)
            high = next((bound for bound in (type_.le, type_.lt) if bound is not None), 1e6)
            inner_floats = st.floats(low, high, exclude_min=type_.gt is not None, exclude_max=type_.lt is not None)
            return st.integers(int(low), int(high)) if isinstance(type_, mi.IntType) else inner_floats
        case mi.BoolType():
            return st.booleans()
        case mi.LiteralType(values=allowed):
            return st.sampled_from(allowed)
        case mi.UnionType(types=options):
            return st.one_of(
                [WORDS if is_word(option) else values(option) for option in options if option != mi.NoneType()]
            )
        case mi.DictType(key_type=key, value_type=value):
            return st.dictionaries(values(key), values(value), min_size=type_.min_length or 0, max_size=3)
        case mi.VarTupleType(item_type=item):
            return st.lists(values(item), min_size=type_.min_length or 0, max_size=2).map(tuple)
        case mi.TupleType(item_types=items):
            return st.tuples(*(values(item) for item in items)).map(lambda pair: tuple(sorted(pair)))
        case mi.StructType(cls=cls):
            return structs(cls)
    raise TypeError(type_)


def is_word(type_: mi.Type) -> bool:
    """Of a union: a text, which must not look like a number where a number may stand in its place."""
    return isinstance(type_, mi.Metadata) and isinstance(type_.type, mi.StrType)


def chances(type_: mi.Type) -> st.SearchStrategy[Any]:
    assert isinstance(type_, mi.StructType)
    return st.builds(type_.cls, value=st.floats(0, 1), mark=TEXTS, reason=TEXTS.filter(str.strip))


def structs(cls: type) -> st.SearchStrategy[Any]:
    fields = written_fields(cls).values()
    needed = {f.name: values(f.type) for f in fields if f.required}
    optional = {f.name: values(f.type) for f in fields if not f.required}
    return st.fixed_dictionaries(needed, optional=optional).map(lambda given: cls(**given))


def plain(value: Any) -> Any:
    """A value as YAML writes it, with numbers as short texts that mean them exactly; fields left out are left out."""
    if isinstance(value, msgspec.Struct):
        fields = struct_type(type(value)).fields
        given_fields = {f.encode_name: getattr(value, f.name) for f in fields}
        return {name: plain(inner) for name, inner in given_fields.items() if name != "at" and inner not in (None,)}
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, tuple):
        return [plain(inner) for inner in value]
    return value if isinstance(value, str | bool) else repr(value)


def convert(cls: type, text: str) -> tuple[object, Converter]:
    tree = parse_nodes(text.encode(), "f")
    assert tree.root is not None, tree.faults
    converter = Converter()
    return converter.struct(tree.root, cls, Spot("f"), "it"), converter


@pytest.mark.parametrize("cls", [*kinds().values(), Words], ids=lambda cls: cls.__name__)
def test_what_is_written_down_comes_back(cls: type) -> None:
    @given(structs(cls))
    def comes_back(entry: Any) -> None:
        written = {name: part for name, part in plain(entry).items() if name in written_fields(cls)}
        made, converter = convert(cls, yaml.safe_dump(written, allow_unicode=True))
        assert converter.faults == []
        assert made == entry

    comes_back()


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_mean_exactly_what_is_typed(value: float) -> None:
    tree = parse_nodes(repr(value).encode(), "f")
    assert tree.root is not None
    assert Converter().convert(tree.root, mi.FloatType(), "x") == value


@pytest.mark.parametrize(
    "typed", ["nan", ".inf", "inf", "1e999", "1_000", "1:30", "0x10", "5 min", "85%", "no", "1,5", "--1"]
)
def test_what_is_no_number_is_a_fault(typed: str) -> None:
    tree = parse_nodes(f"[{typed!r}]".encode(), "f")
    assert tree.root is not None
    converter = Converter()
    assert converter.convert(tree.root, mi.VarTupleType(mi.FloatType()), "minutes") is FAULTY
    assert [fault.code for fault in converter.faults] == ["K206"]


def test_leading_noughts_are_decimal() -> None:
    tree = parse_nodes(b"010.50", "f")
    assert tree.root is not None
    made = Converter().convert(tree.root, mi.FloatType(), "x")
    assert isinstance(made, float)
    assert math.isclose(made, 10.5)


def test_references_carry_their_kind_and_place_and_the_words_that_would_do_too() -> None:
    made, converter = convert(
        Cause,
        "{name: n, mark: m, reason: r, plain: p, family: bond, share: 5, leaks: often, zone: joint, only_if: {g: [a]}}",
    )
    assert isinstance(made, Cause)
    assert [(r.kinds, r.text, r.others) for r in converter.references] == [
        (("marks",), "m", ()),
        (("families",), "bond", ()),
        (("words.links",), "often", ("always",)),
        (("zones",), "joint", ()),
        (("history",), "g", ()),
    ]


def test_an_entry_with_faults_is_still_there_for_further_checks() -> None:
    tree = parse_nodes(b"{name: n, share: 500, shows: {a: often}, zone: joint}", "f")
    assert tree.root is not None
    converter = Converter()
    made, is_sound = converter.entry(tree.root, Cause, Spot("f", 3, 3), "it")
    assert not is_sound
    assert isinstance(made, Cause)
    assert (made.shows, made.share, made.reason) == ({"a": "often"}, 0.0, "")
    assert {(fault.code, fault.spot.line) for fault in converter.faults} == {("K207", 1), ("K203", 3), ("K204", 3)}
