"""From files to ``Knowledge``: read, lay over each other, convert, check, add the place signs."""

from collections.abc import Mapping
from typing import Any

from leakdx.errors import KnowledgeError
from leakdx.knowledge.checks import check_all
from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.convert import FAULTY, Converter, struct_type
from leakdx.knowledge.draft import COMPLAINT, HAS_NOT_LISTED, WORDS, Draft, kinds, make_draft
from leakdx.knowledge.faults import Code, Fault, Spot, in_order
from leakdx.knowledge.files import Files
from leakdx.knowledge.ids import ID
from leakdx.knowledge.model import Knowledge, Words
from leakdx.knowledge.place_signs import PREFIXES, place_signs
from leakdx.knowledge.reader import Fields


def build(files: Files) -> Knowledge:
    """Builds the knowledge; raises KnowledgeError with all faults."""
    draft = make_draft(files.files)
    converter = Converter()
    labels = {file.shown: file.label for file in files.files}
    parts = _convert_all(draft, converter, labels)
    ground = Ground(draft, parts)
    check_all(ground, converter.references)
    faults = [*files.faults, *draft.faults, *converter.faults, *ground.faults]
    if faults:
        raise KnowledgeError([str(fault) for fault in in_order(faults)])
    return _whole(parts, files.hash)


def _convert_all(draft: Draft, converter: Converter, labels: Mapping[str, str]) -> dict[str, Any]:
    parts: dict[str, Any] = {kind: _convert_kind(kind, draft, converter, labels) for kind in kinds()}
    words = draft.entries.get(WORDS, {})
    if words:
        spot = next(iter(words.values())).key.spot
        node = Fields(tuple((w.key, w.value) for w in words.values()), spot)
        made = converter.struct(node, Words, spot, WORDS, at=_at(spot, labels))
        if made is not FAULTY:
            parts[WORDS] = made
    for field in struct_type(Knowledge).fields:
        if field.name in (COMPLAINT, HAS_NOT_LISTED) and field.name in draft.entries:
            written = draft.entries[field.name][field.name]
            made = converter.convert(written.value, field.type, field.name)
            if made is not FAULTY:
                parts[field.name] = made
    return parts


def _convert_kind(kind: str, draft: Draft, converter: Converter, labels: Mapping[str, str]) -> dict[str, object]:
    made: dict[str, object] = {}
    for id, written in draft.entries.get(kind, {}).items():
        spot = written.key.spot
        if not ID.fullmatch(id) and not id.startswith(PREFIXES):
            right = "use small letters, digits and _ only, beginning with a letter"
            converter.faults.append(Fault(spot, Code.BAD_ID, f"'{id}' cannot be an id", right))
        entry = converter.struct(written.value, kinds()[kind], spot, id, at=_at(spot, labels))
        if entry is not FAULTY:
            made[id] = entry
    return made


def _at(spot: Spot, labels: Mapping[str, str]) -> str:
    return f"{labels.get(spot.file, spot.file)}:{spot.line}:{spot.column}"


def _whole(parts: dict[str, Any], hash: str) -> Knowledge:
    made = place_signs(parts[WORDS], parts["zones"], parts["places"])
    return Knowledge(hash=hash, **{**parts, "signs": {**parts["signs"], **made}})
