"""The shipped cases with their diagnoses, each made once for all tests that read them."""

from functools import cache
from pathlib import Path

from msgspec.structs import replace

from leakdx.case import Case
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.mechanics.trade import Trade
from leakdx.reasoning.answer import Decision, NoneOfThese
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.casefile import read_case

FILES = sorted((Path(__file__).parent.parent / "docs" / "cases").glob("*.yaml"))
NAMES = [file.stem for file in FILES]


@cache
def knowledge() -> Knowledge:
    return load_knowledge([shipped_folder()])


def trade() -> Trade:
    """The numbers that calculations fall back on."""
    return knowledge().trade_numbers


@cache
def diagnosis(name: str) -> Diagnosis:
    """Of the case whose file begins so ("02")."""
    file = next(file for file in FILES if file.stem.startswith(name))
    return diagnose(knowledge(), read_case(file, knowledge()))


def parts(name: str) -> tuple[Knowledge, Case, Diagnosis]:
    """What the texts and pictures are made from."""
    made = diagnosis(name)
    return made.knowledge, made.case, made


def stopped() -> tuple[Knowledge, Case, Diagnosis]:
    """A case that ends with a question to the maker, and that may be none of what is listed."""
    made = diagnose(knowledge(), diagnosis("15").case)
    decision = Decision("stop_and_ask", "The rules leave no repair for the metal.", ("no_welding_a_crack",))
    answers = replace(
        made.answers,
        decision=decision,
        next_check=None,
        other_checks=(),
        could_be_none_of_these=NoneOfThese(True, 0.31),
    )
    made.__dict__["answers"] = answers  # a cached value, so this is what everything reads
    return made.knowledge, made.case, made


def flat(text: str) -> str:
    """The text as one line, so that a sentence is found wherever its lines break."""
    return " ".join(text.split())
