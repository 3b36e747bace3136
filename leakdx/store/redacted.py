"""A case without what says whose it is, to be shown outside the shop."""

from collections.abc import Mapping

from msgspec import structs

from leakdx.case import Case, Doubt, LogEntry, Measurement, Note, Observation, Reading, Record

LEFT_OUT = "(left out)"
_WORDS = ("decided", "step", "signed", "state", "reopened")
"""Records that are free words, and so may name people."""


def redacted(case: Case) -> Case:
    """The same observations under the same numbers; unit, truck, story, notes, bays, photos and names left out.

    Whoever wrote entries is called A, B, C and so on, and every single tool by a number of its own, so that one can
    still see which entries go together. The case diagnoses as before.
    """
    people = _letters(dict.fromkeys(entry.who for entry in case.log))
    used = dict.fromkeys(_tool(entry).casefold() for entry in case.log if _tool(entry))
    tools = {tool: f"tool {n}" for n, tool in enumerate(used, start=1)}
    log = tuple(_entry(entry, people, tools) for entry in case.log)
    return structs.replace(case, unit="", truck={}, story="", log=log)


def _letters(names: Mapping[str, None]) -> Mapping[str, str]:
    """A, B ... Z, A2, B2 ... in the order in which they first wrote."""
    return {name: chr(65 + n % 26) + (str(n // 26 + 1) if n >= 26 else "") for n, name in enumerate(names)}


def _tool(entry: LogEntry) -> str:
    return entry.tool if isinstance(entry, Observation | Reading | Measurement | Doubt) else ""


def _entry(entry: LogEntry, people: Mapping[str, str], tools: Mapping[str, str]) -> LogEntry:
    if isinstance(entry, Record) and entry.kind == "photo":
        entry = Note(number=entry.number, who=entry.who, at=entry.at, note=LEFT_OUT)
    note = LEFT_OUT if isinstance(entry, Note) else ""
    entry = structs.replace(entry, who=people[entry.who], bay="", note=note)
    if isinstance(entry, Record) and entry.kind in _WORDS:
        return structs.replace(entry, text=LEFT_OUT)
    return structs.replace(entry, tool=tools[_tool(entry).casefold()]) if _tool(entry) else entry
