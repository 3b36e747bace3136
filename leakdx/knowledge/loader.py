"""Loads knowledge folders into typed, immutable ``Knowledge``, or says everything that is wrong with them."""

from collections.abc import Sequence
from pathlib import Path

from leakdx.knowledge.cache import read_copy, write_copy
from leakdx.knowledge.files import gather, shipped_folder
from leakdx.knowledge.model import Knowledge

__all__ = ["load_knowledge", "shipped_folder"]


def load_knowledge(folders: Sequence[Path]) -> Knowledge:
    """Loads folders laid over each other, the shipped one first; a single YAML file may stand for a folder.

    Raises KnowledgeError with every fault, sorted by file and line, each as
    ``file:line:column: CODE what is wrong; what would be right``.
    """
    files = gather(folders)
    known = None if files.faults else read_copy(files.hash)
    if known is None:
        from leakdx.knowledge.build import build  # the YAML side is not needed where a copy is kept

        known = build(files)
        write_copy(known)
    return known
