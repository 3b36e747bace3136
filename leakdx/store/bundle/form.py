"""What stands where in a bundle, and how each part of it is written. docs/case_store.md describes it."""

import re
from collections.abc import Mapping
from typing import Annotated

import msgspec
from msgspec import Meta, Raw, Struct, field

from leakdx.errors import StorageError
from leakdx.knowledge.files import MAX_TOTAL_BYTES, Files, SourceFile
from leakdx.store.attachments import KINDS, MOST_BYTES
from leakdx.store.settings import Settings
from leakdx.store.source import KnowledgeSource

VERSION = 1
"""Of the form; a reader knows the forms up to its own."""
MANIFEST = "bundle.json"
MOST_FILES = 20_000
MOST_TOTAL = 1 << 30
"""Bytes of a bundle, and of all that it unpacks to."""
MOST_TEXT = 256 << 20
"""Of that, bytes of all files but photos: these are in memory together."""
MOST_SAID = f"{MOST_FILES} files, {MOST_TEXT >> 20} MiB of text or {MOST_TOTAL >> 30} GiB"
MOST_TIMES = 200
"""How often a file larger than LITTLE may unpack to its packed size; text packs to a tenth, a bomb to a thousandth."""
LITTLE = 1 << 20

_SUFFIXES = "|".join(re.escape(kind.suffixes[0]) for kind in KINDS.values())
NAMES: Mapping[re.Pattern[str], int] = {
    re.compile(r"bundle\.json"): 8 << 20,
    re.compile(r"cases/[0-9]{1,6}\.yaml"): 1 << 20,
    re.compile(r"cases/[0-9]{1,6}\.json"): 64 << 20,
    re.compile(rf"photos/[0-9a-f]{{64}}({_SUFFIXES})"): MOST_BYTES,
    re.compile(r"knowledge/[0-9a-f]{64}\.json"): 2 * MAX_TOTAL_BYTES,
}
"""Every name that a file in a bundle can have, and how many bytes it unpacks to at most."""

_Hash = Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]
_Short = Annotated[str, Meta(max_length=80)]
_Count = Annotated[int, Meta(ge=0)]


class Manifest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is in the bundle. ``files``: name -> SHA-256 of its bytes; ``knowledge``: what the cases were read with."""

    form: _Count = field(name="leakdx bundle")
    program: _Short
    knowledge: _Hash
    files: dict[str, _Hash]


class ShownThen(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A diagnosis that was shown. ``head``: which of the history's heads the case had; ``entries``: how many."""

    written: _Short
    entries: _Count
    head: _Count
    shop: _Short | None
    version: _Short
    knowledge: _Hash
    answers: Raw


class History(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What was shown of a case, in order, and the heads that the case had then (the lines above its log)."""

    heads: tuple[Annotated[str, Meta(max_length=1 << 20)], ...] = ()
    shown: tuple[ShownThen, ...] = ()


class _Text(Struct, frozen=True, forbid_unknown_fields=True):
    layer: _Count
    label: str
    text: str


class _Knowledge(Struct, frozen=True, forbid_unknown_fields=True):
    files: tuple[_Text, ...]
    settings: Settings


def knowledge_text(source: KnowledgeSource) -> bytes:
    """A knowledge as JSON, its files as the text that they are. StorageError where one is no text."""
    try:
        files = tuple(_Text(file.layer, file.label, file.data.decode()) for file in source.files.files)
    except UnicodeDecodeError as error:
        raise StorageError(f"the knowledge {source.hash[:12]} is not written as UTF-8 and cannot be sent") from error
    return pretty(_Knowledge(files, source.settings))


def knowledge_of(data: bytes) -> KnowledgeSource:
    """A knowledge as ``knowledge_text`` wrote it. Raises msgspec.MsgspecError."""
    read = msgspec.json.decode(data, type=_Knowledge)
    files = tuple(SourceFile(file.layer, file.label, file.label, file.text.encode()) for file in read.files)
    return KnowledgeSource(Files(files, ()), read.settings)


def pretty(value: object) -> bytes:
    """JSON that a person can read."""
    return msgspec.json.format(msgspec.json.encode(value), indent=1)
