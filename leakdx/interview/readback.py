"""An entry of the log in one line of words, so that a slip of the finger is seen at once."""

from leakdx.case import Comeback, Done, Doubt, LogEntry, Note, Observation, PlacesSeen, Reading, Told, Withdrawal
from leakdx.explain.words import answered
from leakdx.knowledge.model import Knowledge


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
            return f"{knowledge.name(entry.sign)}: {entry.value} {entry.unit}".rstrip() + _tool(entry.tool)
        case Done():
            return f"done: {knowledge.name(entry.act)}"
        case Doubt():
            what = f"{knowledge.name(entry.doubt)} {entry.tool}".rstrip()
            return f"doubted: {what}, {entry.chance:.0%} that it was bad" if entry.chance else f"not doubted: {what}"
        case Comeback():
            return f"came back wet: {knowledge.name(entry.place)}"
        case Withdrawal():
            return f"entry {entry.entry} is withdrawn" + (f": {entry.note}" if entry.note else "")
        case Note():
            return f"note: {entry.note}"


def _places(knowledge: Knowledge, entry: PlacesSeen) -> str:
    wet, dry = (", ".join(knowledge.name(place) for place in places) for places in (entry.wet, entry.dry))
    said = [f"wet: {wet}{_arc(entry.arc)}"] if wet else []
    return "; ".join(said + ([f"dry: {dry}"] if dry else [])) + _sure(entry.sure)


def _tool(tool: str) -> str:
    return f" with {tool}" if tool else ""


def _arc(arc: tuple[float, float] | None) -> str:
    return f", arc {arc[0]:g}-{arc[1]:g}" if arc else ""


def _sure(sure: str) -> str:
    return ", fairly sure" if sure == "fairly" else ""
