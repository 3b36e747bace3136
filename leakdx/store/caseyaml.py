"""A case as YAML text: the writing half of the case file format (the reading half is casefile.py)."""

from collections.abc import Mapping, Sequence

import yaml

from leakdx.case import (
    Case,
    Comeback,
    Done,
    Doubt,
    LogEntry,
    Measurement,
    Note,
    Observation,
    PlacesSeen,
    Reading,
    Record,
    Told,
    Withdrawal,
)

INDENT = "  "

Value = str | int | float | Sequence["Value"] | Mapping[str, "Value"]

_Dumper: type[yaml.SafeDumper] = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def case_text(case: Case) -> str:
    """The whole file. Reading it again gives an equal case."""
    if not case.log:
        return head_text(case) + "log: []\n"
    return head_text(case) + "log:\n" + "".join(entry_line(entry, INDENT) for entry in case.log)


def head_text(case: Case) -> str:
    """The lines above the log."""
    return "".join(f"{key}: {flow(value)}\n" for key, value in header(case).items())


def header(case: Case) -> dict[str, Value]:
    """Everything but the log, as it stands in the file; what is not known is left out."""
    fields: dict[str, Value | None] = {
        "case": case.id,
        "unit": case.unit or None,
        "truck": dict(case.truck) or None,
        "axle": case.axle,
        "shop": case.shop,
        "complaint": case.complaint,
        "story": case.story or None,
    }
    return {key: value for key, value in fields.items() if value is not None}


def entry_line(entry: LogEntry, indent: str) -> str:
    """One entry of the log as one line of a block list."""
    return f"{indent}- {entry_text(entry)}\n"


def entry_text(entry: LogEntry) -> str:
    """One entry as it stands after its dash, on one line."""
    return flow(entry_fields(entry))


def flow(value: Value) -> str:
    """A value on one line of YAML, text always quoted where a reader might take it for something else."""
    text: str = yaml.serialize(_node(value), Dumper=_Dumper, allow_unicode=True, width=1 << 30, explicit_end=False)
    return text.removesuffix("\n").removesuffix("\n...")


def entry_fields(entry: LogEntry) -> dict[str, Value]:
    """An entry as the fields that stand in the file, in their order."""
    fields: dict[str, Value] = {}
    if entry.at is not None:
        fields["at"] = entry.at.isoformat(timespec="auto" if entry.at.second or entry.at.microsecond else "minutes")
    fields["who"] = entry.who
    if entry.bay:
        fields["bay"] = entry.bay
    fields |= _what(entry)
    if entry.note or isinstance(entry, Note):
        fields["note"] = entry.note
    return fields


def _what(entry: LogEntry) -> dict[str, Value]:
    """The fields that say what the entry is about."""
    match entry:
        case PlacesSeen():
            seen: dict[str, Value] = {"wet": entry.wet} if entry.wet or not entry.dry else {}
            return seen | ({"dry": entry.dry} if entry.dry else {}) | _how_seen(entry)
        case Observation():
            return {"saw": entry.sign, "is": entry.answer, **_tool(entry), **_how_seen(entry)}
        case Told():
            return {"told": entry.group, "is": entry.answer}
        case Reading():
            read: dict[str, Value] = {"read": entry.sign, "value": entry.value, "unit": entry.unit}
            return read | _tool(entry)
        case Measurement():
            return {"measured": entry.by, "readings": dict(entry.readings), **_tool(entry)}
        case Done():
            return {"did": entry.act}
        case Doubt():
            return {"doubt": entry.doubt, "chance": entry.chance, **_tool(entry)}
        case Comeback():
            return {"comeback": entry.place}
        case Record():
            return {entry.kind: entry.text}
        case Withdrawal():
            return {"withdraw": entry.entry}
        case Note():
            return {}


def _tool(entry: Observation | Reading | Measurement | Doubt) -> dict[str, Value]:
    dated = entry.calibrated if isinstance(entry, Reading | Measurement) else ""
    return {key: value for key, value in (("tool", entry.tool), ("calibrated", dated)) if value}


def _how_seen(entry: Observation | PlacesSeen) -> dict[str, Value]:
    fields: dict[str, Value] = {}
    if entry.arc is not None:
        fields["arc"] = entry.arc
    if entry.sure != "sure":
        fields["sure"] = entry.sure
    return fields


def _node(value: Value) -> yaml.Node:
    match value:
        case str():
            style = '"' if "\n" in value or not value else None
            return yaml.ScalarNode("tag:yaml.org,2002:str", value, style=style)
        case int():
            return _number(str(value))
        case float():
            return _number(repr(value).removesuffix(".0"))
        case Mapping():
            pairs = [(_node(key), _node(item)) for key, item in value.items()]
            return yaml.MappingNode("tag:yaml.org,2002:map", pairs, flow_style=True)
        case _:
            return yaml.SequenceNode("tag:yaml.org,2002:seq", [_node(item) for item in value], flow_style=True)


def _number(text: str) -> yaml.Node:
    """A number as plain text. "1e-05" is text to YAML 1.1, and would be written with a tag if called a number."""
    kind = "float" if "." in text else "str" if "e" in text else "int"
    return yaml.ScalarNode(f"tag:yaml.org,2002:{kind}", text)
