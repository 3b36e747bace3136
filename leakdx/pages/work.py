"""The work of a job sheet: what to have ready, what never to do, and every step with its cautions and its hold."""

from collections.abc import Iterator

from msgspec import Struct

from leakdx.explain.cautions import Cautions
from leakdx.explain.course import Course, CourseStep
from leakdx.explain.job import job_parts, proofs, work_order
from leakdx.explain.words import hours, minutes, path_name
from leakdx.interview.readback import signed_by
from leakdx.knowledge.model import Knowledge
from leakdx.pages.document import Blanks, Block, Heading, Points, Say, Step, Steps
from leakdx.reasoning.diagnosis import Diagnosis


class Work(Struct, frozen=True):
    """Repairs in their order of work, how long they take in words, and their steps by phase."""

    actions: tuple[str, ...]
    takes: str
    parts: tuple[tuple[str, tuple[CourseStep, ...]], ...]

    @property
    def cautions(self) -> frozenset[str]:
        """All cautions that stand at a step."""
        return frozenset(id for _, steps in self.parts for step in steps for id in step.step.cautions)


def work_of(diagnosis: Diagnosis, course: Course | None) -> Work | None:
    """What was decided on, as far as it is; else what is recommended; None where nothing is repaired yet."""
    if course is not None:
        left = f"{len(course.left)} of {len(course.steps)} steps left"
        return Work(course.actions, f"decided by {signed_by(course.decided)}; {left}", course.parts)
    answers = diagnosis.answers
    if answers.decision.do != "repair" or not answers.repairs:
        return None
    path = answers.repairs[0]
    waiting = f", waiting {hours(path.elapsed)}" if path.elapsed[1] else ""
    parts = tuple(
        (part.title, tuple(CourseStep(number=f"{place}.{at}", step=row.step, of=row.of)
                           for at, row in enumerate(part.rows, start=1)))
        for place, part in enumerate(job_parts(diagnosis, path.actions), start=1)
    )  # fmt: skip
    return Work(work_order(diagnosis, path.actions), f"hands-on {minutes(path.minutes)}{waiting}", parts)


def work_blocks(knowledge: Knowledge, work: Work, cautions: Cautions) -> Iterator[Block]:
    """The work as it stands on the sheet; ``cautions``: those of the whole sheet, so that each is in full once."""
    repairs = [knowledge.repairs[action] for action in work.actions]
    yield Heading(f"The job ({work.takes})")
    yield Say(path_name(knowledge, work.actions))
    for label, things, ticks in (
        ("Have ready before anything is taken apart", [tool for repair in repairs for tool in repair.tools], True),
        ("Parts", [part for repair in repairs for part in repair.needs_parts], True),
        ("Never", [never for repair in repairs for never in repair.never], False),
    ):
        if things:
            yield Heading(label, 3)
            yield Points(tuple(dict.fromkeys(things)), ticks)
    for place, (title, steps) in enumerate(work.parts, start=1):
        yield Heading(f"{place}  {title}", 3)
        yield Steps(tuple(_step(step, cautions) for step in steps))
    yield Heading("Proof and recheck", 3)
    yield Points(proofs(knowledge, work.actions), ticks=True)
    yield Blanks(("Found", "By whom, when, odometer"))


def _step(step: CourseStep, cautions: Cautions) -> Step:
    done, signed = (signed_by(entry) if entry else "" for entry in (step.done, step.signed))
    return Step(step.number, step.step.do, cautions.words(step.step.cautions), step.step.hold or "", done, signed)
