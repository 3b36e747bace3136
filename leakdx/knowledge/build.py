"""From files to ``Knowledge``: read, lay over each other, convert, check, add the place signs."""

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from leakdx.errors import KnowledgeError
from leakdx.knowledge.checks import check_all
from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.convert import FAULTY, Converter, struct_type
from leakdx.knowledge.draft import SINGLE, TRADE, WORDS, Draft, kinds, make_draft
from leakdx.knowledge.entry import (
    Words,
)
from leakdx.knowledge.faults import Code, Fault, Spot, in_order
from leakdx.knowledge.files import Files
from leakdx.knowledge.ids import ID
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.place_signs import PREFIXES, place_signs
from leakdx.knowledge.reader import Fields
from leakdx.mechanics.trade import Trade


class _Parts(Struct):
    """Field of ``Knowledge`` -> value, as far as it could be made, and (kind, id) of entries with a fault of shape."""

    values: dict[str, Any]
    unsound: set[tuple[str, str]]


def build(files: Files) -> Knowledge:
    """Builds the knowledge; raises KnowledgeError with all faults."""
    draft = make_draft(files.files)
    converter = Converter(printable=True)
    parts = _convert_all(draft, converter, {file.shown: file.label for file in files.files})
    ground = Ground(draft, parts.values, frozenset(parts.unsound))
    check_all(ground, converter.references)
    unread = [*(fault.spot for fault in files.faults), *draft.unread]
    further = _held_back(ground.faults, min(unread)) if unread else ground.faults
    faults = [*files.faults, *draft.faults, *converter.faults, *further]
    if faults:
        raise KnowledgeError(in_order(faults))
    return _whole(parts.values, files.hash)


def _held_back(faults: Sequence[Fault], unread: Spot) -> list[Fault]:
    """One sentence in place of faults of names and meaning: most only miss what the unread file would have said."""
    count = len(set(faults))
    if not count:
        return []
    wrong = f"what the rest names and means cannot be checked without this ({count} found that may come of it alone)"
    return [Fault(unread, Code.NOT_CHECKED, wrong, "mend this first and check again")]


def _convert_all(draft: Draft, converter: Converter, labels: Mapping[str, str]) -> _Parts:
    parts = _Parts({kind: {} for kind in kinds()}, set())
    for kind in kinds():
        _convert_kind(kind, draft, converter, labels, parts)
    for kind, cls in ((WORDS, Words), (TRADE, Trade)):
        tables = draft.entries.get(kind, {})
        if tables:
            spot = next(iter(tables.values())).key.spot
            node = Fields(tuple((w.key, w.value) for w in tables.values()), spot)
            _keep(parts, kind, converter.struct(node, cls, spot, kind, at=_at(spot, labels)))
    for field in struct_type(Knowledge).fields:
        if field.name in SINGLE and field.name in draft.entries:
            written = draft.entries[field.name][field.name]
            _keep(parts, field.name, converter.convert(written.value, field.type, field.name))
    return parts


def _keep(parts: _Parts, name: str, made: object) -> None:
    if made is not FAULTY:
        parts.values[name] = made


def _convert_kind(kind: str, draft: Draft, converter: Converter, labels: Mapping[str, str], parts: _Parts) -> None:
    for id, written in draft.entries.get(kind, {}).items():
        spot = written.key.spot
        if not ID.fullmatch(id) and not id.startswith(PREFIXES):
            right = "use small letters, digits and _ only, beginning with a letter"
            converter.faults.append(Fault(spot, Code.BAD_ID, f"'{id}' cannot be an id", right))
        parts.values[kind][id], is_sound = converter.entry(written.value, kinds()[kind], spot, id, at=_at(spot, labels))
        if not is_sound:
            parts.unsound.add((kind, id))


def _at(spot: Spot, labels: Mapping[str, str]) -> str:
    return f"{labels.get(spot.file, spot.file)}:{spot.line}:{spot.column}"


def _whole(values: dict[str, Any], hash: str) -> Knowledge:
    made = place_signs(values[WORDS], values["zones"], values["places"])
    return Knowledge(hash=hash, **{**values, "signs": {**values["signs"], **made}})
