"""Where one case lives: a file, or a place in the case store. An interview needs to know no more than this."""

from typing import Protocol

from leakdx.case import Case
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.store.draft import Draft


class CaseHome(Protocol):
    """A case that is saved answer by answer; what ``case`` holds stands on the disk."""

    @property
    def case(self) -> Case:
        """The case as last saved or read."""

    @property
    def name(self) -> str:
        """What is typed to come back to it: a file's path or a case's id."""

    def save(self, case: Case) -> None:
        """Make ``case`` what is kept, durably, or raise and leave all as it stands.

        Raises CaseError where it could not be read again, StorageError where it cannot be written, ChangedError
        where others wrote since it was read: nothing of theirs is overwritten, and ``reload`` fetches it.
        """

    def reload(self) -> Case:
        """Read the case again, with what others have written."""

    def shown(self, diagnosis: Diagnosis) -> None:
        """Keep with the case, where its home keeps such things, that this is shown. Raises StorageError."""

    def drafts(self) -> dict[str, Draft]:
        """Page -> what stands half typed there, where its home keeps such things. Raises StorageError."""

    def keep_draft(self, page: str, draft: Draft | None) -> None:
        """Keep, where its home keeps such things, what stands half typed on a page; None: nothing does.

        Raises StorageError.
        """


class Unkept:
    """A case that lives in memory only: to practise on, or to try something out."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.name = case.id

    def save(self, case: Case) -> None:
        """Hold it."""
        self.case = case

    def reload(self) -> Case:
        """It is as it was left."""
        return self.case

    def shown(self, diagnosis: Diagnosis) -> None:
        """Nothing is kept."""

    def drafts(self) -> dict[str, Draft]:
        """Nothing is kept."""
        return {}

    def keep_draft(self, page: str, draft: Draft | None) -> None:
        """Nothing is kept."""
