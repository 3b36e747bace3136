"""A case: an immutable log of what was seen, told, read, done and withdrawn. No input or output here.

Nothing is ever erased: a withdrawal is an entry that names another entry. What a log means (which
answers stand, in which epoch) is worked out from the entries each time.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Literal, get_args

from msgspec import Struct

from leakdx.measured.kinds import Calculation

UNSURE = "unsure"
CANNOT_REACH = "can't reach"
NOT_FITTED = "not fitted"
NO_INFORMATION = (UNSURE, CANNOT_REACH, NOT_FITTED)

Sureness = Literal["sure", "fairly"]
RecordKind = Literal["decided", "step", "signed", "sealant", "state", "recheck", "closed", "reopened", "photo"]
RECORD_KINDS: tuple[RecordKind, ...] = get_args(RecordKind)
RECHECKED = ("dry", "damp", "wet")
"""What a recheck after the repair can find."""
OUTCOMES = ("held", "not held", "not known")
"""What a case can be closed as."""


class Entry(Struct, frozen=True, kw_only=True):
    """What every entry of the log carries. ``number`` counts from 1 in the order typed."""

    number: int
    who: str
    at: datetime | None = None
    bay: str = ""
    note: str = ""


class Observation(Entry, frozen=True, kw_only=True, tag="saw"):
    """A sign was looked at. ``answer``: an outcome of the sign, or one of NO_INFORMATION."""

    sign: str
    answer: str
    sure: Sureness = "sure"
    tool: str = ""
    arc: tuple[float, float] | None = None
    """Clock positions (from, to) seen from the pinion side, clockwise, 12 at the top."""


class PlacesSeen(Entry, frozen=True, kw_only=True, tag="places"):
    """One look at "where is it wet?": places wet and places looked at and dry."""

    wet: tuple[str, ...] = ()
    dry: tuple[str, ...] = ()
    sure: Sureness = "sure"
    arc: tuple[float, float] | None = None


class Told(Entry, frozen=True, kw_only=True, tag="told"):
    """A history fact: group and answer (or UNSURE)."""

    group: str
    answer: str


class Reading(Entry, frozen=True, kw_only=True, tag="read"):
    """A measured sign: the value as typed and its unit as typed ("0.006", "in")."""

    sign: str
    value: str
    unit: str
    tool: str = ""
    calibrated: str = ""
    """The date that stands on the tool's certificate, as 2026-01-12."""


class Measurement(Entry, frozen=True, kw_only=True, tag="measured"):
    """Raw readings, each field as typed ("audit": "225 230 0 lb-ft"), and the calculation that works them out."""

    by: Calculation
    readings: Mapping[str, str]
    tool: str = ""
    calibrated: str = ""
    """As of a reading."""


class Done(Entry, frozen=True, kw_only=True, tag="did"):
    """An act or a repair that was done; it may cure causes and so start an epoch."""

    act: str


class Doubt(Entry, frozen=True, kw_only=True, tag="doubted"):
    """An instrument or an act may have been bad, with chance ``chance``: all that relied on it moves.

    ``tool``: only the one of its kind that readings name so. A later doubt of the same replaces this one.
    """

    doubt: str
    chance: float
    tool: str = ""


class Comeback(Entry, frozen=True, kw_only=True, tag="came back"):
    """After a repair of this log the truck came back wet at ``place``: a new episode of the same case."""

    place: str


class Record(Entry, frozen=True, kw_only=True, tag="record"):
    """Something for the file, of which the reasoning concludes nothing.

    ``decided``, ``step`` (of a repair, done), ``signed`` (a hold, by who wrote the entry) and ``reopened`` (why) are
    words, and so is ``state``, how the truck stands; ``sealant`` is what the label and the shop's air say
    (``measured.sealant``), ``recheck`` one of RECHECKED, ``closed`` one of OUTCOMES, ``photo`` the SHA-256 of a file
    that the case store keeps, its name in the note.
    """

    kind: RecordKind
    text: str


class Withdrawal(Entry, frozen=True, kw_only=True, tag="withdrew"):
    """Entry ``entry`` no longer stands, and stays in the log. Of a withdrawal: what that took back stands again."""

    entry: int


class Note(Entry, frozen=True, kw_only=True, tag="noted"):
    """Words only."""


LogEntry = (
    Observation | PlacesSeen | Told | Reading | Measurement | Done | Doubt | Comeback | Record | Withdrawal | Note
)


class Case(Struct, frozen=True, kw_only=True):
    """A truck with a wet joint, as far as anyone has written down.

    ``complaint`` is the wet place that it came in for. ``story`` is the driver's own words, kept apart
    from what was verified.
    """

    id: str
    complaint: str
    axle: str | None = None
    shop: str | None = None
    unit: str = ""
    story: str = ""
    truck: Mapping[str, str] = {}
    log: tuple[LogEntry, ...] = ()

    @property
    def closed(self) -> str | None:
        """How the case was closed, one of OUTCOMES; None while it is open. A comeback opens it again."""
        outcome = None
        for entry in self.standing:
            if isinstance(entry, Comeback) or (isinstance(entry, Record) and entry.kind == "reopened"):
                outcome = None
            elif isinstance(entry, Record) and entry.kind == "closed":
                outcome = entry.text
        return outcome

    @property
    def withdrawn(self) -> Mapping[int, int]:
        """Entry -> the withdrawal that took it back, of those that have not been taken back themselves."""
        gone: dict[int, int] = {}
        for entry in reversed(self.log):  # a withdrawal names an entry before it
            if isinstance(entry, Withdrawal) and entry.number not in gone:
                gone[entry.entry] = entry.number
        return gone

    @property
    def standing(self) -> tuple[LogEntry, ...]:
        """The entries that have not been withdrawn, withdrawals themselves left out."""
        gone = self.withdrawn
        return tuple(e for e in self.log if e.number not in gone and not isinstance(e, Withdrawal))
