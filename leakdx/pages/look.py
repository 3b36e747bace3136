"""A look as it stands on paper: what is asked, with a box for each answer, and one for "not looked at"."""

from leakdx.case import CANNOT_REACH, NOT_FITTED, UNSURE
from leakdx.knowledge.model import Knowledge, Measure
from leakdx.measured.kinds import Calculation
from leakdx.pages.document import Blanks, Column, Table

BOX = "☐"
_KEPT, _WORDS_KEPT = "\u00a0", 2
NOT_LOOKED = "not looked at"
_ON_THE_SHEET: tuple[Calculation, ...] = ("fasteners", "flatness")


def answer_table(knowledge: Knowledge, check: str) -> Table:
    """A row for each thing that the check is to tell, with its answers to tick."""
    rows = tuple((_asked(knowledge, id), _ticks(knowledge, id)) for id in knowledge.checks[check].reveals)
    return Table("What was found", (Column("Look", 1.0), Column("Tick one", 1.9)), rows)


def reading_blanks(knowledge: Knowledge, check: str) -> Blanks | None:
    """Room for what is read, with which tool and until when that was calibrated; None where nothing is measured."""
    measured = [(id, m) for id in knowledge.checks[check].reveals if (m := _measure(knowledge, id)) is not None]
    if not measured:
        return None
    labels = [f"{knowledge.name(id)} in {m.unit} (limit {m.limit:g} {m.unit})" for id, m in measured]
    return Blanks((*labels, "Tool no., calibrated until"), 1)


def measures(knowledge: Knowledge, check: str) -> bool:
    """Whether the answer is worked out from readings that the measuring sheet has room for."""
    signs = [knowledge.signs[id] for id in knowledge.checks[check].reveals if id in knowledge.signs]
    return any(sign.worked_out is not None and sign.worked_out.by in _ON_THE_SHEET for sign in signs)


def _asked(knowledge: Knowledge, id: str) -> str:
    if id in knowledge.history:
        return knowledge.history[id].question
    sign = knowledge.signs[id]
    return sign.question or f"{sign.name}?"


def _ticks(knowledge: Knowledge, id: str) -> str:
    """The answers, each behind its box; what tells nothing is an answer of its own."""
    if id in knowledge.history:
        answers = [answer.name for answer in knowledge.history[id].answers.values()]
        return _boxes(*answers, UNSURE)
    sign = knowledge.signs[id]
    measure = sign.measure
    found = (
        (f"within {measure.limit:g} {measure.unit}", f"beyond {measure.limit:g} {measure.unit}")
        if measure
        else [result.name for result in sign.results.values()] or sign.outcomes
    )
    return _boxes(*found, UNSURE, CANNOT_REACH, NOT_FITTED, NOT_LOOKED)


def _boxes(*answers: str) -> str:
    """Each answer behind its box; no line breaks between a box and the first words of its answer."""
    return "  ".join(f"{BOX}\u00a0{answer.replace(' ', _KEPT, _WORDS_KEPT)}" for answer in answers)


def _measure(knowledge: Knowledge, id: str) -> Measure | None:
    sign = knowledge.signs.get(id)
    return sign.measure if sign is not None else None
