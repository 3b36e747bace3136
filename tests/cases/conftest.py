"""Every case file in this folder is a test: a trainer adds one without writing Python."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from leakdx.errors import LeakdxError
from leakdx.knowledge.files import shipped_folder
from leakdx.knowledge.loader import load_knowledge
from leakdx.knowledge.model import Knowledge
from leakdx.training.body import SUFFIXES, read_truck
from leakdx.training.judge import heaviest


@cache
def shipped() -> Knowledge:
    """The shipped knowledge, loaded once for all cases of a process."""
    return load_knowledge([shipped_folder()])


class NotMetError(Exception):
    """Claims that are not met, one to a line, and what weighed most."""


class CaseItem(pytest.Item):
    """One truck: what leakdx says of it is what was expected."""

    def runtest(self) -> None:
        truck = read_truck(self.path, shipped())
        if truck.expectation is None:
            raise NotMetError(f"{self.path}:1: nothing is expected of this case; write an expect: block")
        if truck.failures:
            weighed = [f"    {line}" for line in heaviest(truck.diagnosis)]
            raise NotMetError("\n".join([*map(str, truck.failures), *weighed]))

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """The sentences alone: a trace through Python helps nobody who wrote YAML."""
        if isinstance(excinfo.value, NotMetError | LeakdxError):
            return str(excinfo.value)
        return super().repr_failure(excinfo, style)

    def reportinfo(self) -> tuple[Path, int | None, str]:
        return self.path, 0, self.name


class CaseFile(pytest.File):
    """A case file, which is one test."""

    def collect(self) -> Iterator[pytest.Item]:
        yield CaseItem.from_parent(self, name=self.path.stem)


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.File | None:
    """Case files beside this one."""
    if file_path.suffix in SUFFIXES and file_path.parent == Path(__file__).parent:
        return CaseFile.from_parent(parent, path=file_path)
    return None
