"""Case files: a truck's log as YAML that a person can read, write and mend.

``read_case`` names every fault at once. ``CaseFile`` is a case that grows on disk answer by answer: what is
typed is safe before the next question is asked, and what others wrote in the file is left as it stands.
"""

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import cast

from msgspec import Struct

from leakdx.case import Case, LogEntry
from leakdx.clean import clean
from leakdx.errors import CaseError, StorageError
from leakdx.knowledge.convert import FAULTY, Converter, written_fields
from leakdx.knowledge.faults import Code, Fault, Spot, in_order, suggest
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.names import nearest_id
from leakdx.knowledge.reader import Fields, Items, Node, Scalar, parse_nodes, read_nodes
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.timeline import could_not_have_been_seen
from leakdx.store.caseyaml import case_text
from leakdx.store.draft import Draft
from leakdx.store.entries import EntryReader, places
from leakdx.store.files import fingerprint, read_bytes, write_new
from leakdx.store.grow import grown_text
from leakdx.store.lock import locked

MOST_FAULTS = 40
"""Faults shown of one file; the rest are counted."""

_LATER = ("log", "expect")
"""Fields that are not part of the header. ``expect`` belongs to tests of shipped cases."""


class _Header(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    case: str
    unit: str = ""
    truck: dict[str, str] = {}
    axle: str | None = None
    shop: str | None = None
    complaint: str | None = None
    story: str = ""


def read_case(path: Path, knowledge: Knowledge, now: datetime | None = None) -> Case:
    """The case that a file holds. ``now`` (aware of its zone) is this moment unless given.

    Raises CaseError with one line for each fault, ``file:line:column: what is wrong; what would be right``, and
    StorageError where the file itself cannot be read.
    """
    tree = read_nodes(path)
    if any(fault.code == Code.UNREADABLE for fault in tree.faults):
        raise StorageError(_lines(tree.faults))
    return _case(tree.root, list(tree.faults), str(path), knowledge, now)


def parse_case(data: bytes, name: str, knowledge: Knowledge, now: datetime | None = None) -> Case:
    """As ``read_case``, from bytes; ``name`` stands for the file in the sentences."""
    tree = parse_nodes(data, name)
    return _case(tree.root, list(tree.faults), name, knowledge, now)


def write_case(path: Path, case: Case) -> None:
    """Write a case to a new file; an existing one is refused. Raises StorageError."""
    write_new(path, case_text(case).encode())


class CaseFile:
    """One case on disk, and the bytes that were last read or written there."""

    def __init__(self, path: Path, knowledge: Knowledge, case: Case, data: bytes) -> None:
        self.path = path
        self.case = case
        self._knowledge = knowledge
        self._data = data

    @classmethod
    def open(cls, path: Path, knowledge: Knowledge) -> "CaseFile":
        """Read an existing file. Raises CaseError as ``read_case`` does, and then writes nothing."""
        read_case(path, knowledge)  # says why where there is nothing to read
        data = read_bytes(path)
        return cls(path, knowledge, parse_case(data, str(path), knowledge), data)

    @classmethod
    def create(cls, path: Path, knowledge: Knowledge, case: Case) -> "CaseFile":
        """Write a new file; an existing one is refused. Raises StorageError, CaseError where it could not be read."""
        made = cls(path, knowledge, case, case_text(case).encode())
        made._refuse_unreadable(made._data)
        write_case(path, case)
        return made

    @property
    def name(self) -> str:
        """The file's path, as it was given."""
        return str(self.path)

    def reload(self) -> Case:
        """Read the file again. Raises CaseError, StorageError."""
        data = read_bytes(self.path)
        self.case, self._data = parse_case(data, str(self.path), self._knowledge), data
        return self.case

    def shown(self, diagnosis: Diagnosis) -> None:
        """A file keeps no diagnoses."""

    def drafts(self) -> dict[str, Draft]:
        """A file keeps nothing half typed."""
        return {}

    def keep_draft(self, page: str, draft: Draft | None) -> None:
        """A file keeps nothing half typed."""

    def save(self, case: Case) -> None:
        """Make ``case`` what the file says, durably; comments and layout of the file stay.

        Raises, the file untouched, StorageError where it cannot be written or where someone else has changed
        it since it was read, CaseError where it could not be read again.
        """
        if case == self.case:
            return
        with locked(self.path):
            if fingerprint(read_bytes(self.path)) != fingerprint(self._data):
                wrong = "not saved, it was changed by someone else meanwhile"
                raise StorageError(f"{self.path}: {wrong}; start again from it")
            data = self._next(case)
            write_new(self.path, data, replace=True)
        self.case, self._data = case, data

    def _next(self, case: Case) -> bytes:
        """The new bytes: the old ones with only what is new put in, or all written anew where that cannot be."""
        text = grown_text(self._data.decode("utf-8-sig"), self.case, case)
        if text is not None and self._says(text, case):
            return text.encode()
        anew = case_text(case).encode()
        self._refuse_unreadable(anew)
        if self._data != case_text(self.case).encode():
            with suppress(StorageError):  # one stands there already: the first original is the one to keep
                write_new(self.path.with_name(self.path.name + ".orig"), self._data)
        return anew

    def _refuse_unreadable(self, data: bytes) -> None:
        """CaseError, with the first fault, where these bytes are no case: a file once written can be read."""
        try:
            parse_case(data, str(self.path), self._knowledge)
        except CaseError as error:
            raise CaseError(f"not saved, it could not be read again: {str(error).splitlines()[0]}") from error

    def _says(self, text: str, case: Case) -> bool:
        try:
            return parse_case(text.encode(), str(self.path), self._knowledge) == case
        except CaseError:
            return False


def _case(root: Node | None, faults: list[Fault], file: str, knowledge: Knowledge, now: datetime | None) -> Case:
    """The case that nodes mean; CaseError with all faults otherwise."""
    case: Case | None = None
    if isinstance(root, Fields):
        case = _CaseReader(knowledge, now or datetime.now().astimezone(), faults).read(root)
    elif root is not None:
        right = "write 'case: ...' and a 'log:' with its entries"
        faults.append(Fault(Spot(file), Code.WRONG_SHAPE, "is not a case", right))
    if case is None or faults:
        raise CaseError(_lines(faults))
    return case


class _CaseReader:
    def __init__(self, knowledge: Knowledge, now: datetime, faults: list[Fault]) -> None:
        self.knowledge = knowledge
        self.now = now
        self.faults = faults

    def read(self, root: Fields) -> Case | None:
        header = self._header(root)
        log = root.get("log")
        items = self._items(log)
        entries = self._entries(items, header.axle if header else None)
        if header is None or self.faults:
            return None
        case = Case(
            id=clean(header.case),
            complaint=header.complaint or self.knowledge.complaint,
            axle=header.axle,
            shop=header.shop,
            unit=clean(header.unit),
            story=clean(header.story),
            truck={clean(key): clean(value) for key, value in header.truck.items()},
            log=tuple(entries),
        )
        for number, sentence in could_not_have_been_seen(self.knowledge, case):
            right = "write down what was done before it, or leave it out"
            self._fault(items[number - 1].spot, f"entry {number}: {sentence.rstrip('.')}", right)
        return case

    def _header(self, root: Fields) -> _Header | None:
        converter = Converter()
        header = converter.struct(self._known_fields(root), _Header, root.spot, "the case")
        self.faults.extend(converter.faults)
        if header is FAULTY:
            return None
        made = cast(_Header, header)
        if not made.case.strip():
            self._fault(root.spot, "'case' is blank", "give the case an id such as KD-0412")
        kinds = (("axle", made.axle, self.knowledge.axles), ("shop", made.shop, self.knowledge.shops))
        for name, id, entries in (*kinds, ("complaint", made.complaint, places(self.knowledge))):
            node = root.get(name)
            if id is not None and node is not None and id not in entries:
                near = nearest_id(id, entries)
                right = suggest(id, entries) if near is None else f"did you mean '{near}'?"
                self._fault(node.spot, f"'{name}' cannot be '{clean(id)[:40]}'", right)
        return made

    def _known_fields(self, root: Fields) -> Fields:
        """The fields of the header; a field that is none of a case's is a fault."""
        header = written_fields(_Header)
        for key, _ in root.pairs:
            if key.text not in header and key.text not in _LATER:
                right = suggest(key.text, (*header, *_LATER))
                self._fault(key.spot, f"a case has no field '{clean(key.text)[:40]}'", right)
        return Fields(tuple(pair for pair in root.pairs if pair[0].text in header), root.spot)

    def _items(self, log: Node | None) -> tuple[Node, ...]:
        if isinstance(log, Items):
            return log.items
        if log is None or (isinstance(log, Scalar) and not log.text):
            return ()
        self._fault(log.spot, "'log' is not a list", "write its entries below it, each after a dash")
        return ()

    def _entries(self, items: Sequence[Node], axle: str | None) -> list[LogEntry]:
        reader = EntryReader(self.knowledge, self.now, axle)
        read = [reader.read(item, number) for number, item in enumerate(items, start=1)]
        self.faults.extend(reader.faults)
        return [entry for entry in read if entry is not None]

    def _fault(self, spot: Spot, wrong: str, right: str) -> None:
        self.faults.append(Fault(spot, Code.NOT_ALLOWED, wrong, right))


def _lines(faults: Sequence[Fault]) -> str:
    """One line for each fault, in the order of the file."""
    lines = [f"{fault.spot}: {fault.sentence}" for fault in in_order(faults)]
    more = len(lines) - MOST_FAULTS
    return "\n".join(lines[:MOST_FAULTS] + ([f"and {more} more"] if more > 0 else []))
