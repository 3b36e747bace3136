"""Nodes keep what was typed and where; whatever the bytes, there is a tree or a fault and never an exception."""

from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from leakdx.knowledge.faults import Spot
from leakdx.knowledge.reader import MAX_BYTES, MAX_DEPTH, Fields, Items, Node, Scalar, Tree, parse_nodes, read_nodes


def fields(text: str) -> Fields:
    tree = parse_nodes(text.encode(), "f")
    assert tree.faults == ()
    assert isinstance(tree.root, Fields)
    return tree.root


def codes(tree: Tree) -> list[str]:
    return [fault.code for fault in tree.faults]


@pytest.mark.parametrize(
    "typed", ["no", "yes", "on", "null", "~", "1:30", "1.10", "010", "0x1F", "1e3", "2026-03-02", "=", ".inf", "true"]
)
def test_what_yaml_would_guess_stays_text(typed: str) -> None:
    node = fields(f"value: {typed}\nlist: [{typed}]\n{typed}: key\n")
    value, items = node.get("value"), node.get("list")
    assert isinstance(value, Scalar)
    assert value.text == typed
    assert isinstance(items, Items)
    assert [item.text for item in items.items if isinstance(item, Scalar)] == [typed]
    assert node.key(typed) is not None


def test_places_count_from_one_in_characters() -> None:
    node = fields("ä: {b: [x, 'y z']}\nc: |\n  text\n")
    inner = node.get("ä")
    assert isinstance(inner, Fields)
    items = inner.get("b")
    assert isinstance(items, Items)
    assert items.items[1] == Scalar("y z", Spot("f", 1, 12), quoted=True)
    assert node.get("c") == Scalar("text\n", Spot("f", 2, 4), block=True)


def test_byte_order_mark_and_windows_lines_are_no_part_of_the_text() -> None:
    tree = parse_nodes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n", "f")
    assert isinstance(tree.root, Fields)
    assert [(key.text, key.spot.line, key.spot.column) for key, _ in tree.root.pairs] == [("a", 1, 1), ("b", 2, 1)]


def test_a_duplicate_key_names_both_places_and_the_first_stays() -> None:
    tree = parse_nodes(b"a: 1\nb: 2\na: 3\n", "f")
    assert isinstance(tree.root, Fields)
    assert [value.text for _, value in tree.root.pairs if isinstance(value, Scalar)] == ["1", "2"]
    assert [str(fault) for fault in tree.faults] == [
        "f:3:1: K107 'a' is written twice, first in line 1 column 1; keep one of the two"
    ]


@pytest.mark.parametrize(
    ("data", "code", "line"),
    [
        (b"", "K108", 1),
        (b"# only a comment\n", "K108", 1),
        (b"a: [1\nb: 2\n", "K104", 2),
        (b"a: b: c\n", "K104", 1),
        (b"\tx: 1\n", "K104", 1),
        (b"a: \xff\xfe\n", "K103", 1),
        (b"ok: 1\na: \x00\n", "K103", 2),
        (b"a: \x1b[2J\n", "K103", 1),
        (b"a: &x 1\n", "K106", 1),
        (b"a: 1\nb: *a\n", "K106", 2),
        (b"a: !!python/object/apply:os.system ['true']\n", "K106", 1),
        (b"a: !mine 1\n", "K106", 1),
        (b"a: {<<: {b: 1}}\n", "K106", 1),
        (b"a: 1\n---\nb: 2\n", "K106", 2),
        (b"? [a, b]\n: 1\n", "K205", 1),
        (b"[" * 5000, "K105", 1),
        (b"{a: " * 5000, "K105", 1),
        (b"- " * 5000, "K105", 1),
        (b"a" * (MAX_BYTES + 1), "K102", 1),
    ],
)
def test_what_is_not_plain_yaml_is_refused_with_its_place(data: bytes, code: str, line: int) -> None:
    tree = parse_nodes(data, "f")
    assert tree.root is None
    assert codes(tree) == [code]
    assert tree.faults[0].spot.line == line


def test_the_deepest_nesting_that_is_read() -> None:
    assert codes(parse_nodes(b"[" * MAX_DEPTH + b"]" * MAX_DEPTH, "f")) == []
    assert codes(parse_nodes(b"[" * (MAX_DEPTH + 1) + b"]" * (MAX_DEPTH + 1), "f")) == ["K105"]


def test_folders_and_missing_files_are_faults(tmp_path: Path) -> None:
    assert codes(read_nodes(tmp_path)) == ["K101"]
    assert codes(read_nodes(tmp_path / "nothing.yaml")) == ["K101"]
    assert codes(read_nodes(tmp_path / "a\0b")) == ["K101"]
    large = tmp_path / "large.yaml"
    large.write_bytes(b"a: " + b"x" * MAX_BYTES)
    assert codes(read_nodes(large)) == ["K102"]
    small = tmp_path / "small.yaml"
    small.write_text("a: 1\n")
    assert read_nodes(small, shown="shown").root == parse_nodes(b"a: 1\n", "shown").root


@given(st.binary(max_size=200))
@example(b"\xef\xbb\xbf")
@example(b"%YAML 9.9\n---\n")
@example(b"? \n: \n")
@example("\ud83d\ude00: \u2028x".encode("utf-8", "surrogatepass"))
def test_random_bytes_give_a_tree_or_faults(data: bytes) -> None:
    tree = parse_nodes(data, "f")
    assert (tree.root is None) <= bool(tree.faults)


YAMLISH = st.text(alphabet="ab:[]{},-?|>'\"#&*!%@` \n\t0<~é", max_size=60)


@given(YAMLISH)
def test_text_that_looks_like_yaml_gives_a_tree_or_faults(text: str) -> None:
    tree = parse_nodes(text.encode(), "f")
    assert (tree.root is None) <= bool(tree.faults)
    if tree.root is not None:
        lines = text.count("\n") + 1
        assert all(1 <= spot.line <= lines + 1 and spot.column >= 1 for spot in spots(tree.root))


def spots(node: Node) -> list[Spot]:
    found = [node.spot]
    if isinstance(node, Items):
        found += [spot for item in node.items for spot in spots(item)]
    if isinstance(node, Fields):
        found += [spot for key, value in node.pairs for spot in (key.spot, *spots(value))]
    return found
