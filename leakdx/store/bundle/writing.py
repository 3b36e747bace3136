"""A bundle written part by part: each file's hash is kept, and all of them stand in the manifest at its end."""

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO

from leakdx import __version__
from leakdx.errors import StorageError
from leakdx.store.attachments import KINDS, Attachment
from leakdx.store.bundle.form import (
    MANIFEST,
    MOST_FILES,
    MOST_SAID,
    MOST_TEXT,
    MOST_TOTAL,
    VERSION,
    History,
    Manifest,
    knowledge_text,
    pretty,
)
from leakdx.store.files import fingerprint
from leakdx.store.source import KnowledgeSource

_LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The time of every file: the same cases make the same bundle, byte for byte."""


@contextmanager
def bundle_in(file: IO[bytes], read_with: KnowledgeSource) -> Iterator["BundleWriter"]:
    """A bundle being written into an open file; at its end the manifest. ``read_with``: what reads the cases."""
    with zipfile.ZipFile(file, "w") as zip:
        made = BundleWriter(zip)
        yield made
        made.finish(read_with)


class BundleWriter:
    """Puts cases, photos and knowledges into a zip file. StorageError where it outgrows what a bundle can be."""

    def __init__(self, zip: zipfile.ZipFile) -> None:
        self._zip = zip
        self._hashes: dict[str, str] = {}
        self._total = self._texts = self._cases = 0

    def case(self, text: str, history: History) -> None:
        """A case as a case file, and what was shown of it."""
        self._cases += 1
        self._put(f"cases/{self._cases}.yaml", text.encode())
        self._put(f"cases/{self._cases}.json", pretty(history))

    def photo(self, photo: Attachment) -> None:
        """A photo or file that a case names; one that is in already is passed over."""
        self._put(f"photos/{photo.sha256}{KINDS[photo.kind].suffixes[0]}", photo.data, packed=photo.kind == "text")

    def knowledge(self, source: KnowledgeSource) -> None:
        """A knowledge; one that is in already is passed over."""
        self._put(f"knowledge/{source.hash}.json", knowledge_text(source))

    def finish(self, read_with: KnowledgeSource) -> None:
        """Write the knowledge that the cases were read with, and the manifest."""
        self.knowledge(read_with)
        manifest = Manifest(form=VERSION, program=__version__, knowledge=read_with.hash, files=dict(self._hashes))
        self._put(MANIFEST, pretty(manifest))

    def _put(self, name: str, data: bytes, *, packed: bool = True) -> None:
        if name in self._hashes:
            return
        self._total += len(data)
        self._texts += 0 if name.startswith("photos/") else len(data)
        if self._total > MOST_TOTAL or self._texts > MOST_TEXT or len(self._hashes) >= MOST_FILES:
            raise StorageError(f"a bundle holds at most {MOST_SAID}; write fewer cases at once")
        self._hashes[name] = fingerprint(data)
        info = zipfile.ZipInfo(name, _LONG_AGO)
        info.external_attr = 0o600 << 16
        self._zip.writestr(info, data, zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED, 6)
