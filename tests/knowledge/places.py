"""Where the knowledge of the tests lies, and small knowledges written as text."""

from collections.abc import Mapping
from pathlib import Path

from leakdx.errors import KnowledgeError
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "tests" / "data"
SIX = DATA / "six"
BAD = DATA / "knowledge_bad"
THIRTY = DATA / "thirty_faults"


def written(folder: Path, files: Mapping[str, str]) -> Path:
    """A folder with these files."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def changed(tmp_path: Path, text: str) -> Knowledge:
    """The six causes with one local file laid over them."""
    return load_knowledge([SIX, written(tmp_path / "local", {"change.yaml": text})])


def faults(*folders: Path) -> tuple[str, ...]:
    """The lines that loading says; empty where it succeeds."""
    try:
        load_knowledge(folders)
    except KnowledgeError as error:
        return error.faults
    return ()
