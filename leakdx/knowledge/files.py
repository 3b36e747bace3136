"""Finds and reads the bytes of knowledge folders; nothing is understood yet."""

import hashlib
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
    total = 0
    for layer, folder in enumerate(folders):
        found = _yaml_files(folder)
        if not found:
            faults.append(_nothing_there(folder))
        for path, name in found:
            try:
                data = path.read_bytes() if path.stat().st_size + total <= MAX_TOTAL_BYTES else None
            except OSError as error:
                reason = (error.strerror or str(error)).lower()
                faults.append(
                    Fault(
                        Spot(str(path)), Code.UNREADABLE, f"cannot be read: {reason}", "make it readable or remove it"
                    )
                )
                continue
            if data is None:
                limit = f"the files together are larger than {MAX_TOTAL_BYTES >> 20} MiB"
                faults.append(Fault(Spot(str(path)), Code.TOO_LARGE, limit, "keep only knowledge in the folder"))
                return Files(tuple(files), tuple(faults))
            total += len(data)
            files.append(SourceFile(layer, str(path), f"{_label(folder)}/{name}", data))
    return Files(tuple(files), tuple(faults))


def _yaml_files(folder: Path) -> list[tuple[Path, str]]:
    if folder.is_file():
        return [(folder, folder.name)]
    found = [p for p in folder.rglob("*") if p.suffix in SUFFIXES and p.is_file() and not _hidden(p, folder)]
    return sorted(((p, p.relative_to(folder).as_posix()) for p in found), key=lambda pair: pair[1])


def _hidden(path: Path, folder: Path) -> bool:
    return any(part.startswith(".") for part in path.relative_to(folder).parts)


def _label(folder: Path) -> str:
    if folder.resolve() == shipped_folder().resolve():
        return SHIPPED_LABEL
    return folder.parent.name if folder.is_file() else folder.resolve().name


def _nothing_there(folder: Path) -> Fault:
    wrong = "holds no YAML file" if folder.is_dir() else "does not exist"
    return Fault(Spot(str(folder)), Code.UNREADABLE, wrong, "name a folder with knowledge in it")
