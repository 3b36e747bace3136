"""Every error a user can meet: one clear sentence, and the exit code that the command ends with."""

from collections.abc import Sequence
from enum import IntEnum


class ExitCode(IntEnum):
    """Documented in docs/commands.md; stable."""

    OK = 0
    INTERNAL = 1
    USAGE = 2
    CASE = 3
    KNOWLEDGE = 4
    STORAGE = 5
    NOT_MET = 6
    SETTINGS = 7
    INTERRUPTED = 130


class LeakdxError(Exception):
    """Base of all errors shown to a user. The message is one sentence: what is wrong and what would be right."""

    exit_code: ExitCode = ExitCode.INTERNAL


class UsageError(LeakdxError):
    """The command was called wrongly."""

    exit_code = ExitCode.USAGE


class CaseError(LeakdxError):
    """A case file cannot be read as a case."""

    exit_code = ExitCode.CASE


class StorageError(LeakdxError):
    """A file cannot be read or written."""

    exit_code = ExitCode.STORAGE


class ChangedError(StorageError):
    """Nothing was saved, since someone else has written to the case meanwhile; read again it shows what."""


class SettingsError(LeakdxError):
    """The shop's settings have faults; the message has one line for each, in file order."""

    exit_code = ExitCode.SETTINGS


class KnowledgeError(LeakdxError):
    """The knowledge has faults; ``faults`` holds one line for each, in file order, ``parts`` what it was made of."""

    exit_code = ExitCode.KNOWLEDGE

    def __init__(self, faults: Sequence[object]) -> None:
        self.parts = tuple(faults)
        self.faults = tuple(map(str, faults))
        super().__init__("\n".join(self.faults))


class TooWideError(LeakdxError):
    """An exact answer would need tables beyond what fits; refused before running, never a hang."""

    exit_code = ExitCode.KNOWLEDGE
