"""A body of cases: every case file of some folders, diagnosed and held against what it expects."""

from collections.abc import Iterable, Iterator
from functools import cached_property
from pathlib import Path

from msgspec import Struct

from leakdx.case import Case
from leakdx.errors import CaseError
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.casefile import read_case
from leakdx.training.expectation import Expectation, read_expectation
from leakdx.training.judge import Failure, judge

SUFFIXES = (".yaml", ".yml")


class Truck(Struct, frozen=True, dict=True):
    """One case file with what it expects."""

    file: Path
    knowledge: Knowledge
    case: Case
    expectation: Expectation | None

    @cached_property
    def diagnosis(self) -> Diagnosis:
        """Raises CaseError, naming the file, where the answers exclude one another."""
        made = diagnose(self.knowledge, self.case)
        try:
            made.decision  # noqa: B018 - worked out here, so that its sentences name the file too
        except CaseError as error:
            raise CaseError(f"{self.file}: {error}") from error
        return made

    @cached_property
    def failures(self) -> tuple[Failure, ...]:
        """Claims that are not met; none where nothing is expected."""
        return () if self.expectation is None else judge(self.diagnosis, self.expectation)


def case_files(places: Iterable[Path]) -> tuple[Path, ...]:
    """The case files of folders (not of folders within them) and files, in order of name within each.

    Raises CaseError where a place is neither, or a folder holds none.
    """
    found: list[Path] = []
    for place in places:
        if place.is_dir():
            inside = sorted(file for file in place.iterdir() if file.suffix in SUFFIXES)
            if not inside:
                raise CaseError(f"{place}: holds no case file; name a folder with files that end in .yaml")
            found += inside
        elif place.exists():
            found.append(place)
        else:
            raise CaseError(f"{place}: there is no such file or folder; name one that holds cases")
    return tuple(found)


def read_truck(file: Path, knowledge: Knowledge) -> Truck:
    """Raises CaseError with one line for each fault."""
    return Truck(file, knowledge, read_case(file, knowledge), read_expectation(file, knowledge))


def read_trucks(places: Iterable[Path], knowledge: Knowledge) -> Iterator[Truck]:
    """The trucks of folders and files, in order. Raises CaseError at the first that cannot be read."""
    return (read_truck(file, knowledge) for file in case_files(places))
