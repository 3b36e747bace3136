"""A bundle read and checked as a whole before anything of it is taken in."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import TypeVar

import msgspec
from msgspec import Struct, structs

from leakdx.case import Case, Record
from leakdx.clean import clean, clean_line
from leakdx.errors import StorageError
from leakdx.knowledge.model import Knowledge
from leakdx.store.attachments import KINDS, checked_kind
from leakdx.store.bundle.archive import Archive, opened
from leakdx.store.bundle.form import MANIFEST, VERSION, History, Manifest, knowledge_of
from leakdx.store.casefile import parse_case
from leakdx.store.source import KnowledgeSource

_T = TypeVar("_T")


class Leaders(Struct, frozen=True):
    """Of the answers of a diagnosis that was shown, what lists of cases are drawn from."""

    causes: tuple["Named", ...] = ()
    zones: tuple["Named", ...] = ()


class Named(Struct, frozen=True):
    """Something of the knowledge, by its id."""

    id: str


class Carried(Struct, frozen=True):
    """A case of a bundle, and what was shown of it."""

    case: Case
    history: History


class Bundle:
    """What a checked bundle holds. ``photos``: SHA-256 -> kind; their bytes are read when they are asked for."""

    def __init__(
        self,
        archive: Archive,
        cases: tuple[Carried, ...],
        knowledges: Mapping[str, KnowledgeSource],
        photos: Mapping[str, str],
    ) -> None:
        self._archive = archive
        self.cases = cases
        self.knowledges = knowledges
        self.photos = photos

    def photo(self, sha256: str) -> bytes:
        """The bytes of a photo. Raises StorageError."""
        return self._archive.read(f"photos/{sha256}{KINDS[self.photos[sha256]].suffixes[0]}", sha256)

    def renamed(self, id: str) -> "Bundle":
        """The bundle with another id for its one case."""
        cases = tuple(structs.replace(one, case=structs.replace(one.case, id=id)) for one in self.cases)
        return Bundle(self._archive, cases, self.knowledges, self.photos)


@contextmanager
def open_bundle(path: Path, knowledge: Knowledge) -> Iterator[Bundle]:
    """The bundle in a file, every part of it checked. ``knowledge``: what its cases are read with.

    Raises StorageError where the bundle is not whole and sound, CaseError where this knowledge cannot read a case.
    """
    with opened(path) as archive:
        yield _Reader(archive, knowledge).read()


class _Reader:
    def __init__(self, archive: Archive, knowledge: Knowledge) -> None:
        self.archive = archive
        self.knowledge = knowledge
        self.manifest = self._manifest()

    def read(self) -> Bundle:
        """Everything, checked."""
        sources = {path.stem: self._knowledge(str(path)) for path in self._in("knowledge")}
        self._refuse_lone_history()
        cases = tuple(self._case(str(path), sources) for path in self._in("cases") if path.suffix == ".yaml")
        ids = [clean_line(one.case.id).casefold() for one in cases]
        if not ids or len(set(ids)) != len(ids):
            raise self.archive.refused("it holds no case, or two of the same id")
        photos = {path.stem: self._photo(str(path)) for path in self._in("photos")}
        named = {e.text for one in cases for e in one.case.log if isinstance(e, Record) and e.kind == "photo"}
        if not photos.keys() <= named:
            raise self.archive.refused("it holds a photo that no entry of its cases names")
        return Bundle(self.archive, cases, sources, photos)

    def _manifest(self) -> Manifest:
        if MANIFEST not in self.archive.names:
            raise self.archive.refused(f"it is no bundle, since it has no {MANIFEST}")
        data = self.archive.read(MANIFEST)
        manifest = self._decoded(MANIFEST, data, Manifest)
        if manifest.form > VERSION:
            wrong = f"was written by a newer leakdx (its form is {manifest.form}, this program knows {VERSION})"
            raise StorageError(f"{self.archive.shown}: {wrong} and was not read; bring this leakdx up to date")
        differ = {*manifest.files} ^ {*self.archive.names} - {MANIFEST}
        if differ:
            raise self.archive.refused(f"{MANIFEST} and its files differ in '{clean_line(min(differ))[:60]}'")
        if f"knowledge/{manifest.knowledge}.json" not in manifest.files:
            raise self.archive.refused("it lacks the knowledge that its cases were read with")
        return manifest

    def _refuse_lone_history(self) -> None:
        for path in self._in("cases"):
            if str(path.with_suffix(".yaml")) not in self.manifest.files:
                raise self.archive.refused(f"its file {path} belongs to no case")

    def _in(self, folder: str) -> list[PurePosixPath]:
        """The names in a folder, numbers in their order."""
        found = [PurePosixPath(name) for name in self.archive.names if name.startswith(f"{folder}/")]
        return sorted(found, key=lambda path: (len(path.stem), path.stem, path.suffix))

    def _bytes(self, name: str) -> bytes:
        return self.archive.read(name, self.manifest.files[name])

    def _decoded(self, name: str, data: bytes, type: type[_T]) -> _T:
        try:
            return msgspec.json.decode(data, type=type)
        except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
            wrong = clean_line(str(error))[:120]
            raise self.archive.refused(f"its file {name} is not written as in a bundle ({wrong})") from error

    def _knowledge(self, name: str) -> KnowledgeSource:
        try:
            source = knowledge_of(self._bytes(name))
        except (msgspec.MsgspecError, UnicodeError, RecursionError) as error:
            raise self.archive.refused(f"its file {name} is no knowledge") from error
        if source.hash != PurePosixPath(name).stem:
            raise self.archive.refused(f"its file {name} is not the knowledge that its hash says")
        return source

    def _photo(self, name: str) -> str:
        path, data = PurePosixPath(name), self._bytes(name)
        if self.manifest.files[name] != path.stem:
            raise self.archive.refused(f"its file {name} is not what its name says")
        return checked_kind(data, f"{self.archive.shown}: {name}", path.suffix)

    def _case(self, name: str, sources: Mapping[str, KnowledgeSource]) -> Carried:
        case = parse_case(self._bytes(name), f"{self.archive.shown}: {name}", self.knowledge)
        beside = name.removesuffix(".yaml") + ".json"
        if beside not in self.manifest.files:
            return Carried(case, History())
        history = self._decoded(beside, self._bytes(beside), History)
        for shown in history.shown:
            self._decoded(beside, bytes(shown.answers), Leaders)
            words = (shown.written, shown.version, shown.shop or "")
            fits = shown.entries <= len(case.log) and shown.head < len(history.heads) and shown.knowledge in sources
            if not fits or not _is_time(shown.written) or any(clean_line(word) != word for word in words):
                raise self.archive.refused(f"its file {beside} tells of a diagnosis that this case cannot have had")
        if any(clean(head) != head for head in history.heads):
            raise self.archive.refused(f"its file {beside} holds control characters")
        return Carried(case, history)


def _is_time(text: str) -> bool:
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False
