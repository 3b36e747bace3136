"""The job sheet for the bay: what must not be passed over, the next look with room for its answer, then the job."""

from collections.abc import Iterator

from leakdx.explain.cautions import Cautions
from leakdx.explain.course import course_of
from leakdx.explain.job import access_time
from leakdx.explain.reasons import FIT_WORDS
from leakdx.explain.words import minutes
from leakdx.explain.work import DECISION_WORDS, date_words, done_words, recheck_by, spoils_words
from leakdx.knowledge.model import Knowledge
from leakdx.pages.customer import TONES
from leakdx.pages.document import Blanks, Block, Document, Heading, NewPage, Notice, Points, Say, Step, Steps
from leakdx.pages.front import about_truck, foot, truck_name
from leakdx.pages.look import answer_table, measures, reading_blanks
from leakdx.pages.sheet import measuring_sheet
from leakdx.pages.work import Work, work_blocks, work_of
from leakdx.reasoning.answer import NextCheck
from leakdx.reasoning.diagnosis import Diagnosis

HANDED_OVER = ("Done so far", "Held at", "Do not touch yet", "State of the truck: on stands, drained, plug out")


def job_page(diagnosis: Diagnosis) -> Document:
    """The sheet of one case."""
    course = course_of(diagnosis.knowledge, diagnosis.case)
    work, cautions = work_of(diagnosis, course), Cautions(diagnosis.knowledge)
    blocks = [
        Blanks(("Technician", "Bay, date")),
        *_before_all(diagnosis),
        *_care(diagnosis, work),
        *(() if course else (*_decided(diagnosis), *_look(diagnosis, cautions))),
        *(work_blocks(diagnosis.knowledge, work, cautions) if work else ()),
        Heading("If somebody else goes on"),
        Blanks(HANDED_OVER, 1),
        *(([NewPage(), *measuring_sheet(diagnosis)]) if _measures(diagnosis, work) else ()),
    ]
    title = f"Job sheet: {truck_name(diagnosis)}"
    return Document(title=title, about=about_truck(diagnosis), blocks=tuple(blocks), foot=foot(diagnosis), size="large")


def _before_all(diagnosis: Diagnosis) -> Iterator[Block]:
    """Fit to drive, then the holds, each with room for initials."""
    fit = diagnosis.fit_to_drive
    yield Notice(TONES[fit.answer], FIT_WORDS[fit.answer].upper(), fit.reason)
    for hold in diagnosis.holds:
        yield Notice("plain", "HOLD", hold.text, boxed=True)


def _decided(diagnosis: Diagnosis) -> Iterator[Block]:
    """What is done where it is neither a look nor a repair."""
    decision = diagnosis.answers.decision
    if decision.do == "stop_and_ask":
        yield Notice("stop", DECISION_WORDS[decision.do].upper(), decision.reason)
        yield Blanks(("Asked whom, when", "Answer"), 1)
    if decision.do == "release_and_recheck":
        yield Notice("go", DECISION_WORDS[decision.do].upper(), decision.reason)
        yield Say(f"Look at the same places in the same order {recheck_by(diagnosis)}, and read the level.", "Recheck")
        yield Blanks(("Found", "By whom, when, odometer"), 1)


def _look(diagnosis: Diagnosis, cautions: Cautions) -> Iterator[Block]:
    """The next look: what first, how, and room for what it shows."""
    check, knowledge = diagnosis.answers.next_check, diagnosis.knowledge
    if check is None:
        return
    yield Heading(f"Next look: {check.name} ({minutes(check.minutes)})")
    yield Say(check.question)
    if check.tools:
        yield Say(", ".join(check.tools), "Tools")
    if knowledge.checks[check.id].looks_again:
        yield Say(date_words(diagnosis), "Date")
    if done := done_words(diagnosis, check):
        yield Say(done, "Done already")
    yield Steps(tuple(_look_steps(knowledge, check, cautions)))
    if check.spoils:
        yield Say(spoils_words(knowledge, check), "It spoils")
    yield answer_table(knowledge, check.id)
    readings = reading_blanks(knowledge, check.id)
    if readings is not None and not measures(knowledge, check.id):
        yield readings
    yield Points(("Photo taken, with the clock position in its name",), ticks=True)


def _look_steps(knowledge: Knowledge, check: NextCheck, cautions: Cautions) -> Iterator[Step]:
    """What must be open first, then how it is done; its cautions stand at the first step of it."""
    for opening in (knowledge.openings[id] for id in check.opens):
        yield Step("0.", f"{opening.name} ({access_time(opening)})", cautions.words(opening.cautions))
    for place, how in enumerate(check.how, start=1):
        yield Step(f"{place}.", how, cautions.words(check.cautions if place == 1 else ()))


def _care(diagnosis: Diagnosis, work: Work | None) -> Iterator[Block]:
    """Cautions for the state of this truck that stand at no step."""
    at_steps = work.cautions if work else frozenset()
    said = tuple(caution.text for caution in diagnosis.answers.cautions if caution.id not in at_steps)
    if said:
        yield Heading("Take care")
        yield Points(said)


def _measures(diagnosis: Diagnosis, work: Work | None) -> bool:
    """Whether the ring or a face is read in this job."""
    knowledge, check = diagnosis.knowledge, diagnosis.answers.next_check
    closes = work is not None and any(knowledge.repairs[action].closes for action in work.actions)
    return closes or (check is not None and measures(knowledge, check.id))
