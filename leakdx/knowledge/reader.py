"""Reads YAML into nodes that keep line, column, raw text and duplicate keys.

Values are not guessed: every scalar stays the text that was typed, so ``no``, ``1:30`` and ``1.10``
mean what the reader of the node says. The tree is built from parser events with a stack of our own:
nesting cannot exhaust Python's, and anchors, aliases and tags are seen and refused.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import yaml
from msgspec import Struct

from leakdx.knowledge.faults import Code, Fault, Spot

_Loader: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""The C parser where PyYAML was built with it; the same events either way."""

MAX_BYTES = 1 << 20
"""Of one file."""
MAX_DEPTH = 24
_TOO_DEEP = (f"is nested deeper than {MAX_DEPTH} levels", "write it flatter")

_NOT_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class Scalar(Struct, frozen=True):
    """A text as typed. ``block``: written with ``|`` or ``>``; ``quoted``: in quotes."""

    text: str
    spot: Spot
    quoted: bool = False
    block: bool = False


class Items(Struct, frozen=True):
    """A list."""

    items: tuple["Node", ...]
    spot: Spot


class Fields(Struct, frozen=True):
    """A mapping as pairs in the order written; of duplicate keys only the first is kept."""

    pairs: tuple[tuple[Scalar, "Node"], ...]
    spot: Spot

    def get(self, name: str) -> "Node | None":
        """The value under a key, or None."""
        return next((value for key, value in self.pairs if key.text == name), None)

    def key(self, name: str) -> Scalar | None:
        """The key itself, for its place."""
        return next((key for key, _ in self.pairs if key.text == name), None)


Node = Scalar | Items | Fields


class Tree(Struct, frozen=True):
    """What a file holds; ``root`` is None where it could not be read. ``faults`` in file order."""

    root: Node | None
    faults: tuple[Fault, ...]


class _Stop(Exception):  # noqa: N818 - carries the last fault out of the parse, never leaves this module
    def __init__(self, spot: Spot, code: Code, wrong: str, right: str) -> None:
        self.fault = Fault(spot, code, wrong, right)


def read_nodes(path: Path, shown: str | None = None, max_bytes: int = MAX_BYTES) -> Tree:
    """Reads one file. ``shown`` is the name used in faults (the path itself otherwise). Never raises."""
    file = shown if shown is not None else str(path)
    try:
        if path.is_dir():
            return _failed(Spot(file), Code.UNREADABLE, "this is a folder", "name a YAML file")
        if path.exists() and not path.is_file():
            # Opening a pipe that nobody writes to would wait for ever.
            return _failed(Spot(file), Code.UNREADABLE, "this is a pipe or a device, no file", "name a YAML file")
        with path.open("rb") as stream:
            data = stream.read(max_bytes + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        return _failed(Spot(file), Code.UNREADABLE, f"cannot be read: {reason}", "name a file that can be read")
    return parse_nodes(data, file, max_bytes)


def parse_nodes(data: bytes, file: str, max_bytes: int = MAX_BYTES) -> Tree:
    """Reads the bytes of one file. Never raises."""
    if len(data) > max_bytes:
        wrong = f"is larger than {max_bytes // 1024} KiB"
        return _failed(Spot(file), Code.TOO_LARGE, wrong, "split it, or keep something so large elsewhere")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        spot = _spot_at(file, data[: error.start].decode("utf-8", "replace"))
        return _failed(spot, Code.NOT_TEXT, "is not UTF-8 text", "save it as UTF-8")
    binary = _NOT_TEXT.search(text)
    if binary is not None:
        spot = _spot_at(file, text[: binary.start()])
        return _failed(spot, Code.NOT_TEXT, f"holds the control character {binary.group()!r}", "write plain text only")
    builder = _Builder(file)
    try:
        root = builder.build(text)
    except _Stop as stop:
        return Tree(None, (*builder.faults, stop.fault))
    except yaml.YAMLError as error:
        return Tree(None, (*builder.faults, _syntax_fault(file, text, error)))
    return Tree(root, tuple(builder.faults))


def _failed(spot: Spot, code: Code, wrong: str, right: str) -> Tree:
    return Tree(None, (Fault(spot, code, wrong, right),))


def _spot_at(file: str, before: str) -> Spot:
    return Spot(file, before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)


_MEND = "mend the line or the indentation here or just above"
_SLIPS = (
    (
        "did not find expected key",
        "the indentation of this line fits nothing above it",
        "indent it like its neighbours",
    ),
    (
        "mapping values are not allowed",
        "there is a second ': ' in this line",
        "put the text in quotes, or start a new line",
    ),
)
"""What the parser says of common slips -> the same in plain words."""


def _syntax_fault(file: str, text: str, error: yaml.YAMLError) -> Fault:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    spot = Spot(file) if mark is None else Spot(file, mark.line + 1, mark.column + 1)
    problem = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "it cannot be understood")
    context = str(getattr(error, "context", None) or "")
    if "nesting depth" in problem:  # the C parser looks ahead, and may stop before we do
        return Fault(spot, Code.TOO_DEEP, *_TOO_DEEP)
    if "quoted scalar" in context and "end of stream" in problem:
        start = getattr(error, "context_mark", None) or mark
        spot = spot if start is None else Spot(file, start.line + 1, start.column + 1)
        return Fault(spot, Code.NOT_YAML, "is not YAML: this quote is never closed", "close it behind the text")
    if "cannot start any token" in problem and _line(text, spot.line)[: spot.column].endswith("\t"):
        return Fault(spot, Code.NOT_YAML, "is not YAML: there is a tab in front of this line", "indent with spaces")
    for said, wrong, right in _SLIPS:
        if said in problem:
            return Fault(spot, Code.NOT_YAML, f"is not YAML: {wrong}", right)
    wrong = "is not YAML: " + (f"{context}, " if context else "") + problem
    return Fault(spot, Code.NOT_YAML, wrong.replace("\n", " "), _MEND)


def _line(text: str, number: int) -> str:
    lines = text.splitlines()
    return lines[number - 1] if number <= len(lines) else ""


class _Open(Struct):
    """A list or mapping that is still being read; ``key`` waits for its value."""

    spot: Spot
    is_list: bool
    items: list[Node]
    pairs: dict[str, tuple[Scalar, Node]]
    key: Scalar | None = None


class _Builder:
    """Builds the tree of one document from events."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.stack: list[_Open] = []
        self.root: Node | None = None
        self.documents = 0

    def build(self, text: str) -> Node | None:
        for event in _events(text):
            self._take(event)
        if self.root is None or (isinstance(self.root, Scalar) and not self.root.text):
            raise _Stop(Spot(self.file), Code.EMPTY, "is empty", "write at least one entry")
        return self.root

    def _take(self, event: yaml.Event) -> None:
        mark = event.start_mark
        spot = Spot(self.file) if mark is None else Spot(self.file, mark.line + 1, mark.column + 1)
        self._refuse_what_is_not_plain(event, spot)
        if isinstance(event, yaml.ScalarEvent):
            style = event.style or ""
            self._place(Scalar(event.value, spot, quoted=style in ("'", '"'), block=style in ("|", ">")))
        elif isinstance(event, yaml.SequenceStartEvent | yaml.MappingStartEvent):
            if len(self.stack) >= MAX_DEPTH:
                raise _Stop(spot, Code.TOO_DEEP, *_TOO_DEEP)
            self.stack.append(_Open(spot, isinstance(event, yaml.SequenceStartEvent), [], {}))
        elif isinstance(event, yaml.SequenceEndEvent | yaml.MappingEndEvent):
            done = self.stack.pop()
            pairs = tuple(done.pairs.values())
            self._place(Items(tuple(done.items), done.spot) if done.is_list else Fields(pairs, done.spot))

    def _refuse_what_is_not_plain(self, event: yaml.Event, spot: Spot) -> None:
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if isinstance(event, yaml.AliasEvent):
            raise _Stop(spot, Code.NOT_PLAIN_YAML, f"uses the alias *{anchor}", "write the value out")
        if anchor:
            raise _Stop(spot, Code.NOT_PLAIN_YAML, f"uses the anchor &{anchor}", "write the value without it")
        if tag:
            raise _Stop(spot, Code.NOT_PLAIN_YAML, f"uses the tag {tag}", "write the value without it")
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                wrong = "holds a second document after ---"
                raise _Stop(spot, Code.NOT_PLAIN_YAML, wrong, "keep one document to a file")

    def _place(self, node: Node) -> None:
        if not self.stack:
            self.root = node
            return
        top = self.stack[-1]
        if top.is_list:
            top.items.append(node)
        elif top.key is None:
            top.key = self._as_key(node)
        else:
            self._add_pair(top, top.key, node)
            top.key = None

    def _as_key(self, node: Node) -> Scalar:
        if not isinstance(node, Scalar):
            wrong = "a list or mapping stands as a key"
            raise _Stop(node.spot, Code.WRONG_SHAPE, wrong, "write a plain word as the key")
        if node.text == "<<" and not node.quoted:
            raise _Stop(node.spot, Code.NOT_PLAIN_YAML, "uses the merge key <<", "write the fields out")
        return node

    def _add_pair(self, top: _Open, key: Scalar, value: Node) -> None:
        if key.text in top.pairs:
            first = top.pairs[key.text][0].spot
            wrong = f"'{key.text}' is written twice, first in line {first.line} column {first.column}"
            self.faults.append(Fault(key.spot, Code.DUPLICATE_KEY, wrong, "keep one of the two"))
        else:
            top.pairs[key.text] = (key, value)


def _events(text: str) -> Iterator[yaml.Event]:
    loader = _Loader(text)
    try:
        while loader.check_event():
            yield loader.get_event()
    finally:
        loader.dispose()
