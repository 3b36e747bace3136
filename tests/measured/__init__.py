"""Six trucks in which a measurement decides, and the same six with the measurement made vague.

``python -m tests.measured`` writes docs/measured_cases.md anew, after any change of the knowledge.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import diagnose
from leakdx.store.casefile import parse_case
from tests import shipped

FILE = Path(__file__).parent / "cases.yaml"
HOW = ("without", "clear", "vague")


@dataclass(frozen=True)
class Told:
    """What a case comes to: the chance of the cause that is measured, and who leads with which chance."""

    chance: float
    leader: str
    leading: float


@dataclass(frozen=True)
class Measured:
    """A case of the file, worked three ways."""

    case: dict[str, Any]
    told: dict[str, Told]

    @property
    def name(self) -> str:
        return str(self.case["name"])


def cases() -> list[dict[str, Any]]:
    """The file's cases, every value as it is typed."""
    read: list[dict[str, Any]] = yaml.load(FILE.read_text(encoding="utf-8"), yaml.BaseLoader)
    return read


def work(case: dict[str, Any], knowledge: Knowledge) -> Measured:
    """One case without its measurement, with it, and with it made vague."""
    return Measured(case, {how: _told(case, case.get(how, []), knowledge) for how in HOW})


def all_worked() -> list[Measured]:
    """All of them, by the shipped knowledge."""
    return [work(case, shipped.knowledge()) for case in cases()]


def _told(case: dict[str, Any], more: list[Any], knowledge: Knowledge) -> Told:
    text = yaml.safe_dump({"case": "KD-1", "log": [*case["log"], *more]}, sort_keys=False)
    causes = diagnose(knowledge, parse_case(text.encode(), case["name"], knowledge)).causes
    chances = {cause.id: cause.leaking for cause in causes}
    return Told(chances.get(case["of"], 0.0), causes[0].id, causes[0].leaking)
