"""A case file's text with only what is new put in, so that comments and layout of its writer stay."""

from collections.abc import Mapping

import yaml

from leakdx.case import Case
from leakdx.store.caseyaml import INDENT, Value, entry_line, flow, header

_Loader: type[yaml.SafeLoader] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def grown_text(text: str, old: Case, new: Case) -> str | None:
    """The text of ``old``'s file changed to say ``new``; None where the layout gives no safe place for it.

    Entries are added below the last one, fields of the header in their usual order or in place. The caller
    reads the result again and trusts it only if it says ``new``.
    """
    if new.log[: len(old.log)] != old.log:
        return None
    try:
        root = yaml.compose(text, Loader=_Loader)
    except yaml.YAMLError:
        return None
    if not isinstance(root, yaml.MappingNode) or root.flow_style:
        return None
    nodes = {key.value: (key, value) for key, value in root.value}
    edits = _header_edits(text, nodes, header(old), header(new))
    grown = _log_edit(text, nodes, old, new)
    if edits is None or grown is None:
        return None
    for start, end, insert in sorted([*edits, grown], reverse=True):
        text = text[:start] + insert + text[end:]
    return text


_Edit = tuple[int, int, str]
"""(start, end, text): what stands from start to end gives way to the text."""
_Nodes = Mapping[str, tuple[yaml.Node, yaml.Node]]


def _header_edits(text: str, nodes: _Nodes, old: Mapping[str, Value], new: Mapping[str, Value]) -> list[_Edit] | None:
    """Edits for fields of the header that differ; None where one was taken away or is laid out over lines."""
    edits = []
    for key in {**old, **new}:
        if old.get(key) == new.get(key):
            continue
        if key not in new:
            return None
        if key not in nodes:
            above = [name for name in list(new)[: list(new).index(key)] if name in nodes]
            below = _next_line(text, nodes[above[-1] if above else "case"][1].end_mark.index)
            edits.append((below, below, f"{key}: {flow(new[key])}\n"))
            continue
        value = nodes[key][1]
        if value.start_mark.line != value.end_mark.line:
            return None
        edits.append((value.start_mark.index, value.end_mark.index, flow(new[key])))
    return edits


def _log_edit(text: str, nodes: _Nodes, old: Case, new: Case) -> _Edit | None:
    """The edit that adds the new entries after the last old one, in the same indentation."""
    added = new.log[len(old.log) :]
    if "log" not in nodes:
        end = len(text)
        lines = "".join(entry_line(entry, INDENT) for entry in added)
        return end, end, ("" if text.endswith("\n") else "\n") + "log:\n" + lines
    log = nodes["log"][1]
    if not isinstance(log, yaml.SequenceNode) or not log.value:
        lines = "".join("\n" + entry_line(entry, INDENT).rstrip("\n") for entry in added)
        after_colon = text.index(":", nodes["log"][0].end_mark.index) + 1
        return after_colon, log.end_mark.index, lines or text[after_colon : log.end_mark.index]
    if log.flow_style:
        return None
    below = _next_line(text, log.value[-1].end_mark.index)
    lines = "".join(entry_line(entry, " " * log.start_mark.column) for entry in added)
    return below, below, ("" if text[:below].endswith("\n") else "\n") + lines


def _next_line(text: str, index: int) -> int:
    """Where the line after this place starts; the place itself where it is the start of a line."""
    if index and text[index - 1] == "\n":
        return index
    end = text.find("\n", index)
    return len(text) if end < 0 else end + 1
