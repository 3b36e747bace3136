"""Everything that was answered, line by line, with what stands and what was taken back."""

from msgspec import Struct

from leakdx.case import Case, LogEntry, Observation, PlacesSeen, Reading, Told, Withdrawal
from leakdx.interview.readback import read_back, signed_by
from leakdx.knowledge.model import Knowledge


class LedgerLine(Struct, frozen=True):
    """One entry. ``signed``: who, where, when; ``about``: the sign or group it tells of, or the act; '' for the rest.

    ``gone``: the entry that took it back; 0 while it stands.
    """

    number: int
    said: str
    signed: str
    about: str = ""
    gone: int = 0
    can_be_revised: bool = False


def ledger(knowledge: Knowledge, case: Case) -> tuple[LedgerLine, ...]:
    """All entries in the order written; a withdrawal is a mark on the line that it took back, not a line."""
    gone = case.withdrawn
    return tuple(
        LedgerLine(
            entry.number,
            read_back(knowledge, entry) + (f" - {entry.note}" if entry.note and _note_is_apart(entry) else ""),
            signed_by(entry),
            _about(entry),
            gone.get(entry.number, 0),
            entry.number not in gone and isinstance(entry, Observation | PlacesSeen | Told | Reading),
        )
        for entry in case.log
        if not isinstance(entry, Withdrawal)
    )


def _note_is_apart(entry: LogEntry) -> bool:
    """Whether the note is not what the line says already."""
    return isinstance(entry, Observation | PlacesSeen | Told | Reading)


def _about(entry: LogEntry) -> str:
    for field in ("sign", "group", "act"):
        if getattr(entry, field, ""):
            return str(getattr(entry, field))
    return ""
