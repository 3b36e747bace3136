"""A zip file from anyone, read as if it were meant to do harm: nothing is ever unpacked onto the disk.

Only names that a bundle can have are read, each within its cap, counted while it is unpacked, since a zip file may say
anything of itself.
"""

import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from leakdx.clean import clean_line
from leakdx.errors import StorageError
from leakdx.store.bundle.form import LITTLE, MOST_FILES, MOST_SAID, MOST_TEXT, MOST_TIMES, MOST_TOTAL, NAMES
from leakdx.store.files import fingerprint, reason

_UNREADABLE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OSError)
"""What zipfile raises for files that are damaged or made to be."""


class Archive:
    """The files of a zip file by their names, all of them ones that a bundle can have."""

    def __init__(self, shown: str, zip: zipfile.ZipFile) -> None:
        self.shown = shown
        self._zip = zip
        self._infos: dict[str, zipfile.ZipInfo] = {}
        self._most: dict[str, int] = {}
        for info in self._zip.infolist():
            self._take(info)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all files, as they stand."""
        return tuple(self._infos)

    def read(self, name: str, sha256: str | None = None) -> bytes:
        """The bytes of a file. Raises StorageError where they are damaged, too many, or others than the hash says."""
        most = self._most[name]
        try:
            with self._zip.open(self._infos[name]) as file:
                data = file.read(most + 1)
        except _UNREADABLE as error:
            raise self.refused(f"its file {name} is damaged") from error
        if len(data) > most:
            raise self.refused(f"its file {name} unpacks to more than {most >> 20} MiB")
        if sha256 is not None and fingerprint(data) != sha256:
            raise self.refused(f"its file {name} is not what its hash says")
        return data

    def refused(self, wrong: str) -> StorageError:
        """The error that says why nothing of this bundle was taken in."""
        return StorageError(f"{self.shown}: {wrong}; nothing was taken in, have it sent again")

    def _take(self, info: zipfile.ZipInfo) -> None:
        """Put a file on the list, unless its name, its kind or its size is none that a bundle has."""
        name = info.orig_filename
        said = clean_line(name)[:60]
        most = next((most for pattern, most in NAMES.items() if pattern.fullmatch(name)), None)
        if most is None:
            raise self.refused(f"it holds '{said}', which is no name in a bundle")
        if name in self._infos:
            raise self.refused(f"it holds '{said}' twice")
        if stat.S_IFMT(info.external_attr >> 16) not in (0, stat.S_IFREG):
            raise self.refused(f"its '{said}' is a link or no file")
        if info.flag_bits & 1 or info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise self.refused(f"its '{said}' is encrypted or packed in another way than bundles are")
        if info.file_size > most:
            raise self.refused(f"its '{said}' unpacks to more than {most >> 20} MiB")
        if info.file_size > max(LITTLE, MOST_TIMES * info.compress_size):
            raise self.refused(f"its '{said}' unpacks to more than {MOST_TIMES} times its size")
        self._infos[name], self._most[name] = info, most


@contextmanager
def opened(path: Path) -> Iterator[Archive]:
    """A zip file as an archive. Raises StorageError where it is none that a bundle can be."""
    shown = clean_line(str(path))
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise StorageError(f"{shown}: is no file; name the bundle itself")
        if found.st_size > MOST_TOTAL:
            raise StorageError(f"{shown}: is larger than {MOST_TOTAL >> 30} GiB; have fewer cases sent at once")
        zip = zipfile.ZipFile(path)
    except zipfile.BadZipFile as error:
        raise StorageError(f"{shown}: is no bundle, or cut off; 'leakdx cases export' writes one") from error
    except OSError as error:
        raise StorageError(f"{shown}: cannot be read ({reason(error)})") from error
    except _UNREADABLE as error:
        raise StorageError(f"{shown}: is damaged and was not read; have it sent again") from error
    with zip:
        infos = zip.infolist()
        texts = sum(info.file_size for info in infos if not info.orig_filename.startswith("photos/"))
        total = sum(info.file_size for info in infos)
        if len(infos) > MOST_FILES or total > MOST_TOTAL or texts > MOST_TEXT:
            raise StorageError(f"{shown}: unpacks to more than {MOST_SAID}; have fewer cases sent at once")
        yield Archive(shown, zip)
