"""What is asked at the counter as a case is begun: what is wet, which axle of which truck, what is told of its past."""

from leakdx.interview.agenda import axle_question, unit_question
from leakdx.interview.question import Option, Question
from leakdx.knowledge.model import Knowledge
from leakdx.store.entries import places

COMPLAINT = "complaint"


def intake_questions(knowledge: Knowledge) -> tuple[Question, ...]:
    """The questions in their order; each may be left unanswered, and what is asked in the bay is asked all the same."""
    wet = tuple(Option(id, place.name, place.synonyms) for id, place in places(knowledge).items())
    why = "It is what the truck came in for; where oil really comes out is looked at later."
    told = (
        Question(
            kind="history",
            id=id,
            text=group.question,
            options=tuple(Option(answer, entry.name) for answer, entry in group.answers.items()),
            why=group.reason,
        )
        for id, group in knowledge.history.items()
        if group.at_counter
    )
    return (
        Question(kind="complaint", id=COMPLAINT, text="What was reported wet?", options=wet, why=why),
        axle_question(knowledge),
        unit_question(),
        *told,
    )
