"""JSON Schemas of knowledge files, generated from the types of the model, for editors to complete and check by.

The loader checks more than a schema can say; these are for the author's eyes while typing.
"""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import msgspec

from leakdx.knowledge.draft import COMPLAINT, HAS_NOT_LISTED, TRADE, WORDS, kinds
from leakdx.knowledge.entry import (
    Words,
)
from leakdx.knowledge.ids import ID
from leakdx.marks import PLAIN_MARKS
from leakdx.mechanics.trade import Trade

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TABLES: Mapping[str, type] = {WORDS: Words, TRADE: Trade}
FILE, LOCAL = "file", "local"
"""The schemas of a whole file, and of a file of changes that is laid over the shipped folder."""

_ID_PATTERN = f"^{ID.pattern}$"

Schema = dict[str, Any]


def schemas(words: Words) -> dict[str, Schema]:
    """Name -> schema: one per kind (what stands below its key), FILE and LOCAL. Words for strengths are enumerated."""
    structs = [*kinds().values(), *_TABLES.values()]
    _, components = msgspec.json.schema_components(structs, ref_template="#/$defs/{name}")
    defs = {name: _readable(component, words) for name, component in sorted(components.items())}
    below: dict[str, Schema] = {kind: _entries(cls.__name__) for kind, cls in kinds().items()}
    below.update({kind: {"$ref": f"#/$defs/{cls.__name__}"} for kind, cls in _TABLES.items()})
    made = {kind: _document(f"leakdx knowledge: {kind}", schema, defs) for kind, schema in below.items()}
    made[FILE] = _document("leakdx knowledge file", _file(below), defs)
    made[LOCAL] = _document("leakdx local knowledge file", _file(below), {**defs, **_without_required(defs)})
    return made


def write_schemas(folder: Path, words: Words) -> tuple[Path, ...]:
    """Writes every schema as NAME.json and returns the paths. OSError where the folder cannot be written."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for name, text in schema_texts(words).items():
        path = folder / f"{name}.json"
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    return tuple(paths)


def schema_texts(words: Words) -> dict[str, str]:
    """Name -> the text of its file."""
    return {name: json.dumps(schema, indent=1, ensure_ascii=False) + "\n" for name, schema in schemas(words).items()}


def _document(title: str, schema: Schema, defs: Mapping[str, Schema]) -> Schema:
    return {"$schema": DIALECT, "title": title, **schema, "$defs": {name: defs[name] for name in _used(schema, defs)}}


def _used(schema: Schema, defs: Mapping[str, Schema]) -> list[str]:
    """The definitions that a schema leads to."""
    found: set[str] = set()
    waiting: list[Any] = [schema]
    while waiting:
        node = waiting.pop()
        if isinstance(node, list):
            waiting.extend(node)
        elif isinstance(node, dict):
            waiting.extend(node.values())
            name = str(node.get("$ref", "")).rpartition("/")[2]
            if name and name not in found:
                found.add(name)
                waiting.append(defs[name])
    return sorted(found)


def _entries(struct: str) -> Schema:
    return {
        "type": "object",
        "propertyNames": {"pattern": _ID_PATTERN},
        "additionalProperties": {"$ref": f"#/$defs/{struct}"},
    }


def _file(below: Mapping[str, Schema]) -> Schema:
    singles: dict[str, Schema] = {COMPLAINT: {"type": "string"}, HAS_NOT_LISTED: {"type": "boolean"}}
    return {"type": "object", "properties": {**below, **singles}, "additionalProperties": False}


def _without_required(defs: Mapping[str, Schema]) -> dict[str, Schema]:
    """Entries of which only some fields are given."""
    partly = [cls.__name__ for cls in (*kinds().values(), Words)]
    names = [*partly, *_used({"$ref": f"#/$defs/{Trade.__name__}"}, defs)]
    return {name: {key: part for key, part in defs[name].items() if key != "required"} for name in names}


def _readable(node: Any, words: Words) -> Any:
    """A generated schema as an author needs it: own fields only, no null, words and marks to choose from."""
    if isinstance(node, list):
        return [_readable(part, words) for part in node]
    if not isinstance(node, dict):
        return node
    made = {key: _readable(part, words) for key, part in node.items() if key not in ("x-ref", "default")}
    if "description" in made:
        made["description"] = " ".join(str(made["description"]).split())
    if isinstance(node.get("properties"), dict):
        own = {name: part for name, part in node["properties"].items() if not part.get("x-set-by-loader")}
        made["properties"] = {name: _readable(part, words) for name, part in own.items()}
    if "anyOf" in made:
        made["anyOf"] = [part for part in made["anyOf"] if part != {"type": "null"}]
        if len(made["anyOf"]) == 1:
            made = {**{key: part for key, part in made.items() if key != "anyOf"}, **made["anyOf"][0]}
    return {**made, **_choices(node.get("x-ref"), words)}


def _choices(ref: list[str] | None, words: Words) -> Schema:
    """What a reference may be: the words of a table, a mark, or an id of some kind."""
    if not ref:
        return {}
    if ref == ["marks"]:
        return {"anyOf": [{"enum": list(PLAIN_MARKS)}, {"pattern": _ID_PATTERN}]}
    if ref == ["words.shifts"]:
        return {"enum": [f"{degree} {way}" for degree in words.shifts for way in ("more", "less")]}
    if ref[0].startswith("words."):
        return {"enum": list(getattr(words, ref[0].partition(".")[2]))}
    return {"description": f"an id of {' or '.join(ref)}"}
