"""One entry of a case's log, from nodes to what it means, every fault on the way collected.

The shape (which fields, text or number) is the converter's work; here is what the words must mean: ids
that the knowledge knows, answers that the sign can have, values within the gauge's range.
"""

import re
from collections.abc import Collection, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any, Literal, TypeVar, cast

from msgspec import Struct, field

from leakdx.case import (
    NO_INFORMATION,
    OUTCOMES,
    RECHECKED,
    RECORD_KINDS,
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
    RecordKind,
    Told,
    Withdrawal,
)
from leakdx.clean import clean
from leakdx.errors import LeakdxError
from leakdx.knowledge.convert import FAULTY, Converter
from leakdx.knowledge.entry import (
    Entry,
)
from leakdx.knowledge.faults import Code, Fault, Spot, nearest, suggest
from leakdx.knowledge.model import Knowledge, Measure
from leakdx.knowledge.names import nearest_id
from leakdx.knowledge.reader import Fields, Items, Node
from leakdx.measured.kinds import CALCULATIONS
from leakdx.mechanics.given import MeasureError
from leakdx.quantities import QuantityError, convert
from leakdx.reasoning.worked_out import work_out

CLOCKS_DIFFER = timedelta(minutes=15)
"""An entry may be this much ahead of this machine's clock."""

_SUBJECTS = ("wet", "dry", "saw", "told", "read", "measured", "did", "doubt", "comeback", *RECORD_KINDS, "withdraw")
_BESIDE: Mapping[str, tuple[str, ...]] = {
    "wet": ("dry", "arc", "sure"),
    "dry": ("wet", "arc", "sure"),
    "saw": ("is", "arc", "sure", "tool"),
    "told": ("is",),
    "read": ("value", "unit", "tool", "calibrated"),
    "measured": ("readings", "tool", "calibrated"),
    "did": (),
    "doubt": ("chance", "tool"),
    "comeback": (),
    **dict.fromkeys(RECORD_KINDS, ()),
    "withdraw": (),
}
"""What may stand beside each subject, beyond what every entry carries."""
_NEEDED: Mapping[str, tuple[str, ...]] = {
    "saw": ("is",),
    "told": ("is",),
    "read": ("value", "unit"),
    "measured": ("readings",),
    "doubt": ("chance",),
}
_ALWAYS = ("at", "who", "bay", "note")
_ONE_OF: Mapping[RecordKind, tuple[str, ...]] = {"recheck": RECHECKED, "closed": OUTCOMES}
"""Records that say one of a few things; the others are free words, and a photo is named by its SHA-256."""
_SHA256 = re.compile("[0-9a-f]{64}")

_K = TypeVar("_K", bound=Entry)


class _Raw(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """All fields that an entry can have, as typed."""

    at: str | None = None
    who: str
    bay: str = ""
    note: str = ""
    wet: tuple[str, ...] = ()
    dry: tuple[str, ...] = ()
    arc: tuple[float, ...] = ()
    sure: Literal["sure", "fairly"] = "sure"
    saw: str = ""
    is_: str = field(default="", name="is")
    told: str = ""
    read: str = ""
    value: str = ""
    unit: str = ""
    measured: str = ""
    readings: Mapping[str, str] = {}
    tool: str = ""
    calibrated: str = ""
    did: str = ""
    doubt: str = ""
    chance: str = ""
    comeback: str = ""
    decided: str = ""
    step: str = ""
    signed: str = ""
    sealant: str = ""
    state: str = ""
    recheck: str = ""
    closed: str = ""
    reopened: str = ""
    photo: str = ""
    withdraw: int = 0


class EntryReader:
    """Reads the entries of one log in order; ``faults`` grows as it goes. ``now`` is aware of its zone."""

    def __init__(self, knowledge: Knowledge, now: datetime, axle: str | None = None) -> None:
        self.knowledge = knowledge
        self.axle = axle
        self.now = now
        self.faults: list[Fault] = []
        self.done: list[str] = []
        """Acts and repairs of the log so far."""
        self.withdrawn: dict[int, int] = {}
        """Entry -> the entry that withdrew it."""
        self.withdrawals: dict[int, int] = {}
        """Withdrawal -> the entry that it took back."""

    def read(self, node: Node, number: int) -> LogEntry | None:
        """The entry that a node means, or None where it has a fault."""
        before = len(self.faults)
        subject = self._subject(node, number)
        converter = Converter()
        raw = converter.struct(self._without_exclusive(node), _Raw, node.spot, f"entry {number}")
        self.faults.extend(converter.faults)
        if raw is FAULTY or len(self.faults) > before or not isinstance(node, Fields):
            return None
        entry = self._meaning(cast(_Raw, raw), node, subject, number)
        return entry if len(self.faults) == before else None

    # -- shape -------------------------------------------------------------------------------------------

    def _subject(self, node: Node, number: int) -> str | None:
        """What the entry is about, one of _SUBJECTS; None for a note. What does not belong beside it is a fault."""
        if not isinstance(node, Fields):
            return None
        subjects = [name for name in _SUBJECTS if node.key(name) is not None]
        if not subjects:
            if node.key("note") is None:
                self._fault(node.spot, f"entry {number} says nothing", f"write one of {', '.join(_SUBJECTS)}, note")
            return None
        subject = subjects[0]
        for name in (*subjects[1:], "is", "value", "unit", "readings", "tool", "calibrated", "chance", "arc", "sure"):
            key = node.key(name)
            if key is not None and name not in _BESIDE[subject]:
                right = "make it an entry of its own" if name in _SUBJECTS else "leave it out"
                self._fault(key.spot, f"'{name}' does not go with '{subject}' in one entry", right)
        for name in _NEEDED.get(subject, ()):
            if node.key(name) is None:
                self._fault(node.spot, f"entry {number} has '{subject}' but no '{name}'", f"write '{name}' beside it")
        return subject

    def _without_exclusive(self, node: Node) -> Node:
        """The node less a list under ``is``, which is a fault of its own: one look has one result."""
        if not isinstance(node, Fields) or not isinstance(node.get("is"), Items):
            return node
        wrong = "'is' holds several answers, and an entry has one, since they exclude each other"
        self._fault(cast(Items, node.get("is")).spot, wrong, "write the one that was seen, or a second entry")
        return Fields(tuple(pair for pair in node.pairs if pair[0].text != "is"), node.spot)

    # -- meaning -----------------------------------------------------------------------------------------

    def _meaning(self, raw: _Raw, node: Fields, subject: str | None, number: int) -> LogEntry | None:
        who = clean(raw.who)
        if not who.strip():
            self._fault(_spot(node, "who"), "'who' is blank", "write initials, or unknown")
        base: dict[str, Any] = {"number": number, "who": who, "at": self._at(raw, node), "note": clean(raw.note)}
        base["bay"] = clean(raw.bay).strip()
        arc = self._arc(raw, node)
        match subject:
            case "wet" | "dry":
                self._places(raw, node)
                return PlacesSeen(**base, wet=raw.wet, dry=raw.dry, sure=raw.sure, arc=arc)
            case "saw":
                self._sign(raw.saw, raw.is_, node)
                return Observation(**base, sign=raw.saw, answer=raw.is_, sure=raw.sure, tool=clean(raw.tool), arc=arc)
            case "told":
                self._history(raw.told, raw.is_, node)
                return Told(**base, group=raw.told, answer=raw.is_)
            case "read":
                self._reading(raw, node)
                value, unit = raw.value.strip(), raw.unit.strip()
                calibrated = self._calibrated(raw, node)
                return Reading(
                    **base, sign=raw.read, value=value, unit=unit, tool=clean(raw.tool), calibrated=calibrated
                )
            case "measured":
                return self._measurement(raw, node, base)
            case "did":
                self._known(raw.did, {**self.knowledge.acts, **self.knowledge.repairs}, node, "did", "act or repair")
                self.done.append(raw.did)
                return Done(**base, act=raw.did)
            case "doubt":
                known = {**self.knowledge.instruments, **self.knowledge.acts}
                self._known(raw.doubt, known, node, "doubt", "instrument or act")
                return Doubt(**base, doubt=raw.doubt, chance=self._chance(raw, node), tool=clean(raw.tool))
            case "comeback":
                known_place = self._known(raw.comeback, places(self.knowledge), node, "comeback", "place")
                first = closings_first(self.knowledge, self.done)
                if known_place and first:
                    wrong = f"entry {number} is a comeback, and no repair that closes the joint stands before it"
                    right = f"write down what was done, as 'did: {first[0]}'"
                    self._fault(_spot(node, "comeback"), wrong, right)
                return Comeback(**base, place=raw.comeback)
            case "decided" | "step" | "signed" | "sealant" | "state" | "recheck" | "closed" | "reopened" | "photo":
                return Record(**base, kind=subject, text=self._record(subject, getattr(raw, subject), node))
            case "withdraw":
                self._withdrawal(raw.withdraw, node, number)
                return Withdrawal(**base, entry=raw.withdraw)
            case _:
                return Note(**base)

    def _at(self, raw: _Raw, node: Fields) -> datetime | None:
        if raw.at is None:
            return None
        try:
            at = datetime.fromisoformat(raw.at.strip())
        except ValueError:
            self._fault(_spot(node, "at"), f"'{_short(raw.at)}' is no date and time", "write it as 2026-03-02T08:10")
            return None
        latest = self.now + CLOCKS_DIFFER
        if at > (latest if at.tzinfo else latest.replace(tzinfo=None)):
            wrong = f"'{_short(raw.at)}' is in the future"
            self._fault(_spot(node, "at"), wrong, "write when it was seen, or mend this machine's clock")
        return at

    def _calibrated(self, raw: _Raw, node: Fields) -> str:
        day = calibration_day(raw.calibrated, (self.now + CLOCKS_DIFFER).date()) if raw.calibrated else ""
        if day is None:
            self._fault(_spot(node, "calibrated"), f"'{_short(raw.calibrated)}' is no day until now", CALIBRATED_IS)
        return day or ""

    def _record(self, kind: RecordKind, text: str, node: Fields) -> str:
        """What is put on file, free words or one of a few."""
        said = clean(text).strip()
        allowed = _ONE_OF.get(kind)
        if allowed is not None and said not in allowed:
            near = nearest(said, allowed)
            right = f"write one of: {', '.join(allowed)}" if near is None else f"did you mean '{near}'?"
            self._fault(_spot(node, kind), f"'{kind}' cannot be '{_short(said)}'", right)
        elif kind == "photo" and not _SHA256.fullmatch(said):
            self._fault(_spot(node, kind), "'photo' names no file", "write its SHA-256, 64 of 0-9 and a-f")
        elif not said:
            self._fault(_spot(node, kind), f"'{kind}' is blank", "say in a few words what")
        elif kind == "sealant":
            self._sealant(said, node)
        return said

    def _sealant(self, said: str, node: Fields) -> None:
        from leakdx.measured.sealant import read_label  # few cases have one

        try:
            read_label(said)
        except MeasureError as error:
            self.faults.append(Fault(_spot(node, "sealant"), "", *_two_parts(str(error))))

    def _arc(self, raw: _Raw, node: Fields) -> tuple[float, float] | None:
        if node.key("arc") is None:
            return None
        if len(raw.arc) != 2 or not all(0 <= hour <= 12 for hour in raw.arc):
            right = "write two clock positions from 0 to 12, clockwise seen from the pinion, as [5, 7]"
            self._fault(_spot(node, "arc"), "'arc' is not a stretch of the clock", right)
            return None
        return raw.arc[0], raw.arc[1]

    def _places(self, raw: _Raw, node: Fields) -> None:
        known = places(self.knowledge)
        for name, listed in (("wet", raw.wet), ("dry", raw.dry)):
            items = node.get(name)
            for at, (place, item) in enumerate(
                zip(listed, items.items if isinstance(items, Items) else (), strict=True)
            ):
                self._known_at(place, known, item.spot, "place")
                if place in listed[:at]:
                    self._fault(item.spot, f"'{place}' stands twice under '{name}'", "name it once")
                elif name == "dry" and place in raw.wet:
                    wrong = f"'{place}' is both wet and dry in one entry, and these exclude each other"
                    self._fault(item.spot, wrong, "keep the one that was seen")
        if not raw.wet and not raw.dry:
            self._fault(_spot(node, "wet"), "no place is named wet or dry", "name at least one place")

    def _sign(self, sign: str, answer: str, node: Fields) -> None:
        if not self._known(sign, self.knowledge.signs, node, "saw", "observation"):
            return
        outcomes = self.knowledge.signs[sign].outcomes
        if answer not in outcomes and answer not in NO_INFORMATION:
            self._wrong_answer(sign, answer, outcomes, node)

    def _history(self, group: str, answer: str, node: Fields) -> None:
        if not self._known(group, self.knowledge.history, node, "told", "history question"):
            return
        answers = tuple(self.knowledge.history[group].answers)
        if answer not in answers and answer not in NO_INFORMATION:
            self._wrong_answer(group, answer, answers, node)

    def _wrong_answer(self, asked: str, answer: str, answers: Sequence[str], node: Fields) -> None:
        allowed = (*answers, *NO_INFORMATION)
        near = nearest(answer, allowed)
        right = f"write one of: {', '.join(allowed)}" if near is None else f"did you mean '{near}'?"
        self._fault(_spot(node, "is"), f"'{asked}' cannot be '{_short(answer)}'", right)

    def _reading(self, raw: _Raw, node: Fields) -> None:
        if not self._known(raw.read, self.knowledge.signs, node, "read", "measured sign"):
            return
        measure = self.knowledge.signs[raw.read].measure
        if measure is None:
            wrong = f"'{raw.read}' is seen, not measured"
            self._fault(_spot(node, "read"), wrong, f"write 'saw: {raw.read}' and 'is: ...'")
            return
        try:
            check_reading(raw.value, raw.unit, measure)
        except QuantityError as error:
            self.faults.append(Fault(_spot(node, "value"), "", *_two_parts(str(error))))

    def _measurement(self, raw: _Raw, node: Fields, base: Mapping[str, Any]) -> Measurement | None:
        """Raw readings; what is wrong with one is said where it stands."""
        by = next((each for each in CALCULATIONS if each == raw.measured), None)
        if by is None:
            wrong = f"'{_short(raw.measured)}' is no measurement"
            self._fault(_spot(node, "measured"), wrong, suggest(raw.measured, CALCULATIONS))
            return None
        readings = {name: clean(typed) for name, typed in raw.readings.items()}
        calibrated = self._calibrated(raw, node)
        entry = Measurement(**base, by=by, readings=readings, tool=clean(raw.tool), calibrated=calibrated)
        try:
            work_out(self.knowledge, self.axle, entry)
        except LeakdxError as error:
            wrong, _, right = _as_field(str(error)).partition("; ")
            self._fault(_reading_spot(node, error), wrong, right or "look at the readings again")
        return entry

    def _chance(self, raw: _Raw, node: Fields) -> float:
        chance = doubt_chance(raw.chance)
        if chance is None:
            self._fault(_spot(node, "chance"), f"'{_short(raw.chance)}' is no chance", CHANCE_IS)
        return chance or 0.0

    def _withdrawal(self, entry: int, node: Fields, number: int) -> None:
        spot = _spot(node, "withdraw")
        if not 1 <= entry < number:
            right = f"name an entry from 1 to {number - 1}" if number > 1 else "there is nothing before it to withdraw"
            self._fault(spot, f"entry {number} withdraws entry {entry}, which does not stand before it", right)
        elif entry in self.withdrawn:
            wrong = f"entry {entry} was withdrawn already by entry {self.withdrawn[entry]}"
            self._fault(spot, wrong, "leave this one out")
        if entry in self.withdrawals:  # what it took back stands again, and may be taken back once more
            self.withdrawn.pop(self.withdrawals[entry], None)
        self.withdrawn.setdefault(entry, number)
        self.withdrawals[number] = entry

    # -- names -------------------------------------------------------------------------------------------

    def _known(self, word: str, entries: Mapping[str, _K], node: Fields, name: str, kind: str) -> bool:
        return self._known_at(word, entries, _spot(node, name), kind)

    def _known_at(self, word: str, entries: Mapping[str, _K], spot: Spot, kind: str) -> bool:
        if word in entries:
            return True
        self._fault(spot, f"there is no {kind} '{_short(word)}'", self._instead(word, entries))
        return False

    def _instead(self, word: str, entries: Mapping[str, _K]) -> str:
        """What would be right in place of an unknown id: another field, the nearest id, or what there is."""
        knowledge = self.knowledge
        for belongs, kind in (("saw", knowledge.signs), ("told", knowledge.history), ("did", knowledge.acts)):
            if word in kind:
                return f"write it under '{belongs}'"
        near = nearest_id(word, entries)
        return suggest(word, entries) if near is None else f"did you mean '{near}'?"

    def _fault(self, spot: Spot, wrong: str, right: str) -> None:
        self.faults.append(Fault(spot, Code.NOT_ALLOWED, wrong, right))


def places(knowledge: Knowledge) -> Mapping[str, Entry]:
    """Everything that can be wet, by id: the places, and the zones that are places too."""
    return {**{id: zone for id, zone in knowledge.zones.items() if zone.is_place}, **knowledge.places}


def closings_first(knowledge: Knowledge, done: Collection[str]) -> tuple[str, ...]:
    """Repairs that close the joint, where none of them was done and so nothing can have come back; else none."""
    closing = tuple(id for id, repair in knowledge.repairs.items() if repair.closes is not None)
    return closing if set(closing).isdisjoint(done) else ()


CHANCE_IS = "write the chance that it was bad, from 0 (good after all) to 1 (certainly bad), such as 0.3"


def doubt_chance(text: str) -> float | None:
    """The chance that a text says, 0 to 1; None where it says none."""
    try:
        chance = float(text)
    except ValueError:
        return None
    return chance if 0 <= chance <= 1 else None


CALIBRATED_IS = "write when the tool was calibrated, as 2026-01-12"


def calibration_day(text: str, today: date) -> str | None:
    """The day that a text says, as 2026-01-12; None where it says none, or one that is still to come."""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        return None
    return day.isoformat() if day <= today else None


def check_reading(value: str, unit: str, measure: Measure) -> float:
    """The reading in the measure's unit; QuantityError where it is no number, of another kind, or out of range."""
    number = convert(value, unit, measure.unit)
    if not measure.lowest <= number <= measure.highest:
        typed = f"{value} {unit}".strip()
        span = f"{measure.lowest:g} to {measure.highest:g} {measure.unit}"
        raise QuantityError(f"{typed} is outside what can be read here; write a value from {span}")
    return number


def _reading_spot(node: Fields, error: LeakdxError) -> Spot:
    """Where the reading stands that an error is about; all of them where it names none."""
    readings = node.get("readings")
    field = getattr(error, "field", "")
    found = readings.get(field) if field and isinstance(readings, Fields) else None
    return _spot(node, "readings") if found is None else found.spot


def _as_field(sentence: str) -> str:
    """What a command's options are called is called without dashes in a case."""
    return re.sub(r"--([a-z-]*[a-z])", lambda option: option[1].replace("-", "_"), sentence)


def _two_parts(sentence: str) -> tuple[str, str]:
    wrong, _, right = sentence.partition("; ")
    return wrong, right or "write a value and its unit"


def _spot(node: Fields, name: str) -> Spot:
    """Where the value of a field stands; the entry itself where the field is missing."""
    value = node.get(name)
    return node.spot if value is None else value.spot


def _short(text: str) -> str:
    """At most so much of a typed text as a sentence bears."""
    return clean(text) if len(text) <= 40 else clean(text[:39]) + "…"
