"""Finds and reads the bytes of knowledge folders; nothing is understood yet."""

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from leakdx.knowledge.faults import Code, Fault, Spot

MAX_TOTAL_BYTES = 16 << 20
"""Of all files of all folders together."""
SUFFIXES = (".yaml", ".yml")
SHIPPED_LABEL = "knowledge"


class SourceFile(Struct, frozen=True):
    """One YAML file. ``shown`` opens it from here; ``label`` names it the same on every machine."""

    layer: int
    """Number of the folder that it came from, the shipped one first."""
    shown: str
    label: str
    data: bytes


class Files(Struct, frozen=True):
    """All files in order, and what could not be read."""

    files: tuple[SourceFile, ...]
    faults: tuple[Fault, ...]

    @property
    def hash(self) -> str:
        """SHA-256 over names and contents, the same wherever the folders lie."""
        digest = hashlib.sha256()
        for file in self.files:
            for part in (str(file.layer).encode(), file.label.encode(), file.data):
                digest.update(len(part).to_bytes(8, "big"))
                digest.update(part)
        return digest.hexdigest()


def shipped_folder() -> Path:
    """The knowledge that leakdx comes with: inside an installed package, or beside it in a source checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_knowledge"
    return installed if installed.is_dir() else package.parent / "knowledge"


def gather(folders: Sequence[Path]) -> Files:
    """Reads the YAML files of each folder (or a single file), sorted by name. Never raises."""
    files: list[SourceFile] = []
    faults: list[Fault] = []
    room = MAX_TOTAL_BYTES
    for layer, folder in enumerate(folders):
        found = _yaml_files(folder)
        label = _label(folder)
        if not found:
            faults.append(_nothing_there(folder))
        for path, name in found:
            try:
                with open(path, "rb") as stream:
                    data = stream.read(room + 1)
            except OSError as error:
                faults.append(_unreadable(path, error))
                continue
            room -= len(data)
            if room < 0:
                wrong = f"the files together are larger than {MAX_TOTAL_BYTES >> 20} MiB"
                faults.append(Fault(Spot(path), Code.TOO_LARGE, wrong, "keep only knowledge in the folder"))
                return Files(tuple(files), tuple(faults))
            files.append(SourceFile(layer, path, f"{label}/{name}", data))
    return Files(tuple(files), tuple(faults))


def _yaml_files(folder: Path) -> list[tuple[str, str]]:
    """(path, name below the folder) of each YAML file; hidden files and folders are passed over."""
    if os.path.isfile(folder):  # unlike Path.is_file it takes a name that is too long for an answer of no
        return [(str(folder), folder.name)]
    found = []
    for here, below, names in os.walk(folder):
        below[:] = [name for name in below if not name.startswith(".")]
        for name in names:
            if name.endswith(SUFFIXES) and not name.startswith("."):
                path = os.path.join(here, name)
                found.append((path, os.path.relpath(path, folder).replace(os.sep, "/")))
    return sorted(found, key=lambda pair: pair[1])


def _label(folder: Path) -> str:
    whole = folder.resolve()
    if whole == shipped_folder():
        return SHIPPED_LABEL
    return whole.parent.name if os.path.isfile(folder) else whole.name


def _nothing_there(folder: Path) -> Fault:
    wrong = "holds no YAML file" if os.path.isdir(folder) else "does not exist"
    return Fault(Spot(str(folder)), Code.UNREADABLE, wrong, "name a folder with knowledge in it")


def _unreadable(path: str, error: OSError) -> Fault:
    reason = (error.strerror or str(error)).lower()
    return Fault(Spot(path), Code.UNREADABLE, f"cannot be read: {reason}", "make it readable or take it out")
