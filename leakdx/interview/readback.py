"""Entries of the log in a line of words each, so that a slip of the finger is seen at once."""

from collections.abc import Sequence
from itertools import groupby

from leakdx.case import (
    NO_INFORMATION,
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
from leakdx.explain.words import answered
from leakdx.knowledge.model import Knowledge


def read_back_all(knowledge: Knowledge, entries: Sequence[LogEntry]) -> tuple[str, ...]:
    """Each entry with its number; several in a row of which nobody could tell anything are one line."""
    lines: list[str] = []
    for nothing, run in groupby(entries, _not_known):
        rows = list(run)
        if nothing and len(rows) > 1:
            names = ", ".join(knowledge.name(e.sign) for e in rows if isinstance(e, Observation))
            lines.append(f"{rows[0].number}-{rows[-1].number}. {nothing}: {names}")
        else:
            lines += (f"{entry.number}. {read_back(knowledge, entry)}" for entry in rows)
    return tuple(lines)


def _not_known(entry: LogEntry) -> str:
    """Why a look says nothing; empty where it says something, and for all else."""
    return entry.answer if isinstance(entry, Observation) and entry.answer in NO_INFORMATION else ""


def read_back(knowledge: Knowledge, entry: LogEntry) -> str:
    """What the entry says, in the names of the knowledge."""
    match entry:
        case PlacesSeen():
            return _places(knowledge, entry)
        case Observation():
            said = answered(knowledge, entry.sign, entry.answer)
            return said + _tool(entry.tool) + _arc(entry.arc) + _sure(entry.sure)
        case Told():
            return answered(knowledge, entry.group, entry.answer)
        case Reading():
            return f"{knowledge.name(entry.sign)}: {entry.value} {entry.unit}".rstrip() + _read_with(entry)
        case Measurement():
            readings = ", ".join(f"{field} {typed}" for field, typed in entry.readings.items())
            return f"measured: {entry.by}, {readings}" + _read_with(entry)
        case Done():
            return f"done: {knowledge.name(entry.act)}"
        case Doubt():
            what = f"{knowledge.name(entry.doubt)} {entry.tool}".rstrip()
            return f"doubted: {what}, {entry.chance:.0%} that it was bad" if entry.chance else f"not doubted: {what}"
        case Comeback():
            return f"came back wet: {knowledge.name(entry.place)}"
        case Record():
            if entry.kind == "photo":
                return f"photo: {entry.note or entry.text[:8]}"
            return f"{entry.kind}: {entry.text}" + (f" ({entry.note})" if entry.note else "")
        case Withdrawal():
            return f"entry {entry.entry} is withdrawn" + (f": {entry.note}" if entry.note else "")
        case Note():
            return f"note: {entry.note}"


def signed_by(entry: LogEntry) -> str:
    """Who wrote the entry, where and when, as far as it says."""
    when = entry.at.isoformat(sep=" ", timespec="minutes") if entry.at else ""
    return ", ".join(part for part in (entry.who, f"bay {entry.bay}" if entry.bay else "", when) if part)


def _places(knowledge: Knowledge, entry: PlacesSeen) -> str:
    wet, dry = (", ".join(knowledge.name(place) for place in places) for places in (entry.wet, entry.dry))
    said = [f"wet: {wet}{_arc(entry.arc)}"] if wet else []
    return "; ".join(said + ([f"dry: {dry}"] if dry else [])) + _sure(entry.sure)


def _tool(tool: str) -> str:
    return f" with {tool}" if tool else ""


def _read_with(entry: Reading | Measurement) -> str:
    return _tool(entry.tool) + (f", calibrated {entry.calibrated}" if entry.calibrated else "")


def _arc(arc: tuple[float, float] | None) -> str:
    return f", arc {arc[0]:g}-{arc[1]:g}" if arc else ""


def _sure(sure: str) -> str:
    return ", fairly sure" if sure == "fairly" else ""
