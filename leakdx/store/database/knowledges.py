"""Each knowledge that cases were reasoned with, kept once, as the very files and settings that its hash is taken of."""

import zlib

import msgspec
from sqlalchemy import select
from sqlalchemy.engine import Connection

from leakdx.errors import KnowledgeError, SettingsError, StorageError
from leakdx.knowledge.files import MAX_TOTAL_BYTES, Files, SourceFile
from leakdx.knowledge.model import Knowledge
from leakdx.store.database.tables import knowledges
from leakdx.store.database.transactions import Database, insert_once, now
from leakdx.store.settings import Settings
from leakdx.store.source import KnowledgeSource

_Packed = tuple[list[tuple[int, str, bytes]], Settings]
"""(layer, label, data) of each file, and the settings."""
_ROOM = MAX_TOTAL_BYTES + (1 << 20)


def packed(source: KnowledgeSource) -> bytes:
    """Files and settings as one compressed piece, the same for the same ones."""
    rows = [(file.layer, file.label, file.data) for file in source.files.files]
    return zlib.compress(msgspec.msgpack.encode((rows, source.settings), order="deterministic"), 9)


def unpacked(data: bytes, hash: str) -> KnowledgeSource:
    """Files and settings again. StorageError where the piece is damaged, too large, or not what the hash says."""
    try:
        opened = zlib.decompressobj()
        plain = opened.decompress(data, _ROOM)
        if opened.unconsumed_tail or not opened.eof:
            raise StorageError(f"the knowledge {hash[:12]} is too large or cut off and was not read")
        rows, settings = msgspec.msgpack.decode(plain, type=_Packed)
    except (zlib.error, msgspec.MsgspecError, RecursionError) as error:
        raise StorageError(f"the knowledge {hash[:12]} is damaged and was not read") from error
    files = Files(tuple(SourceFile(layer, label, label, data) for layer, label, data in rows), ())
    source = KnowledgeSource(files, settings)
    if source.hash != hash:
        raise StorageError(f"the knowledge {hash[:12]} is not what its hash says and was not read")
    return source


def keep_knowledge(connection: Connection, hash: str, piece: bytes) -> None:
    """Keep this piece unless one of the hash is kept already."""
    insert_once(connection, knowledges, knowledges.c.hash, {"hash": hash, "written": now(), "files": piece})


def kept_piece(connection: Connection, hash: str) -> bytes | None:
    """The piece of a hash, as ``packed`` made it; None where it is not kept."""
    data = connection.execute(select(knowledges.c.files).where(knowledges.c.hash == hash)).scalar_one_or_none()
    return None if data is None else bytes(data)


def kept_source(database: Database, hash: str) -> KnowledgeSource:
    """What the knowledge of a hash was made of. StorageError where it is not kept or damaged."""
    with database.reading() as connection:
        data = kept_piece(connection, hash)
    if data is None:
        raise StorageError(f"the knowledge {hash[:12]} is not in {database.place.name}")
    return unpacked(data, hash)


def kept_knowledge(database: Database, hash: str) -> Knowledge:
    """The knowledge of a hash. StorageError where it is not kept or cannot be read by this program."""
    source = kept_source(database, hash)
    try:
        return source.knowledge()
    except (KnowledgeError, SettingsError) as error:
        first = str(error).splitlines()[0]
        raise StorageError(f"the knowledge {hash[:12]} cannot be read by this leakdx: {first}") from error
