"""Why pieces that no case needs are kept: a small YAML file, ``kept:`` with the name of a piece and its reason."""

from collections.abc import Collection, Mapping
from pathlib import Path

from leakdx.errors import CaseError
from leakdx.knowledge.faults import Code, Fault, in_order, suggest
from leakdx.knowledge.reader import Fields, Node, Scalar, read_nodes

FEWEST_WORDS = 4


def read_kept(path: Path, names: Collection[str]) -> Mapping[str, str]:
    """Name of a piece -> why it is kept.

    Raises:
        CaseError: One line for each fault: what cannot be read, names no piece of the knowledge, or gives no reason.
    """
    tree = read_nodes(path)
    faults = list(tree.faults)
    kept: dict[str, str] = {}
    if not faults:
        for key, value in _pairs(tree.root, faults):
            fault = _fault(key, value, names)
            if fault is not None:
                faults.append(fault)
            elif isinstance(value, Scalar):
                kept[key.text] = value.text
    if faults:
        raise CaseError("\n".join(f"{fault.spot}: {fault.sentence}" for fault in in_order(faults)))
    return kept


def _pairs(root: Node | None, faults: list[Fault]) -> tuple[tuple[Scalar, Node], ...]:
    kept = root.get("kept") if isinstance(root, Fields) else None
    if isinstance(kept, Fields):
        return kept.pairs
    if root is not None:
        wrong = "there is no mapping 'kept:' in this file"
        faults.append(Fault(root.spot, Code.WRONG_SHAPE, wrong, "write 'kept:' and below it a line for each piece"))
    return ()


def _fault(key: Scalar, value: Node, names: Collection[str]) -> Fault | None:
    if key.text not in names:
        wrong = f"the knowledge has no piece '{key.text}'"
        return Fault(key.spot, Code.UNKNOWN_ID, wrong, suggest(key.text, names))
    if not isinstance(value, Scalar) or len(value.text.split()) < FEWEST_WORDS:
        wrong = f"there is no reason to keep '{key.text}'"
        return Fault(
            key.spot, Code.NOTHING_WRITTEN, wrong, "say in one sentence why it is right though no case needs it"
        )
    return None
