"""Trucks that were worked already, kept in a folder: a long run that is broken off goes on where it was.

One file of JSON lines for each state of the program and its knowledge, policy, world and seed, so that figures of
different states never mix. A last line that was cut off is worked again.
"""

import hashlib
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

import msgspec

import leakdx
from tests.published.worked import Outcome, Refused
from tests.published.worlds import world

Worked = Outcome | Refused
_LINE = msgspec.json.Decoder(Worked)


class Kept:
    """A folder of worked trucks."""

    def __init__(self, folder: Path, policy: str) -> None:
        self._folder, self._policy = folder / _state(), policy
        self._folder.mkdir(parents=True, exist_ok=True)

    def of(self, name: str, seed: int) -> dict[int, Worked]:
        """Number -> truck, for the trucks of a world that are kept."""
        return {truck.number: truck for truck in self._lines(self._path(name, seed))}

    def add(self, name: str, seed: int, trucks: Sequence[Worked]) -> None:
        """Keep trucks of a world."""
        with self._path(name, seed).open("ab") as stream:
            stream.write(b"".join(b"\n" + msgspec.json.encode(truck) for truck in trucks))

    def _path(self, name: str, seed: int) -> Path:
        return self._folder / f"{self._policy}-{name.replace(':', '-')}-{seed}.jsonl"

    @staticmethod
    def _lines(path: Path) -> Iterator[Worked]:
        for line in path.read_bytes().splitlines() if path.exists() else ():
            with suppress(msgspec.DecodeError):  # empty, or cut off
                yield _LINE.decode(line)


def _state() -> str:
    """Of the knowledge, and of the code that reasons over it and draws from it."""
    code = hashlib.sha256(world("unchanged").told.hash.encode())
    here = Path(__file__).parent
    for path in sorted([*Path(leakdx.__file__).parent.rglob("*.py"), *here.glob("*.py"), *here.glob("reference/*.py")]):
        code.update(path.read_bytes())
    return code.hexdigest()[:16]
