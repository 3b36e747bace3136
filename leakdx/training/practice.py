"""The practice case that comes with leakdx: a truck to play with."""

from pathlib import Path

from leakdx.case import Case
from leakdx.knowledge.model import Knowledge
from leakdx.store.casefile import parse_case

_FILE = Path(__file__).with_name("practice.yaml")


def practice_case(knowledge: Knowledge) -> Case:
    """The case as it comes in. Raises CaseError where this knowledge lacks what it speaks of."""
    return parse_case(_FILE.read_bytes(), "the practice case", knowledge)
