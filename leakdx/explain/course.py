"""How far the repair is that was decided on: its steps in their order of work, what is ticked, signed and looked at.

The job is that of the case as it stood when it was decided, so that its steps stay where they are while the work goes
on and what is opened is written down. What was done before the truck came back is over.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct, structs

from leakdx.case import RECHECKED, Case, Comeback, Done, LogEntry, Record
from leakdx.explain.job import job_parts, proofs, work_order
from leakdx.explain.words import counted
from leakdx.knowledge.actions import Step
from leakdx.knowledge.model import Knowledge
from leakdx.knowledge.names import meant
from leakdx.reasoning.diagnosis import Diagnosis, diagnose

JOINED = " + "
"""Between the names of the repairs of a path, as ``path_name`` writes them."""
PROVE = "prove"


class CourseStep(Struct, frozen=True, kw_only=True):
    """One step. ``number``: "3.2", as on the job sheet; ``act``: what doing it is written down as, if not as a step.

    ``done``, ``signed``: the entries that tick it and sign its hold.
    """

    number: str
    step: Step
    of: tuple[str, ...]
    act: str = ""
    done: LogEntry | None = None
    signed: LogEntry | None = None

    @property
    def holds(self) -> bool:
        """Whether nothing after it may be done yet."""
        return self.step.hold is not None and self.signed is None

    @property
    def is_over(self) -> bool:
        """Ticked, and signed where it is to be signed."""
        return self.done is not None and not self.holds


class Course(Struct, frozen=True, dict=True, kw_only=True):
    """A repair on its way. ``parts``: titles with their steps; ``rechecks``: looks after it, as written down.

    ``finished``: repair -> the entry that says that it is done.
    """

    knowledge: Knowledge
    decided: Record
    actions: tuple[str, ...]
    parts: tuple[tuple[str, tuple[CourseStep, ...]], ...]
    finished: Mapping[str, LogEntry]
    rechecks: tuple[Record, ...]
    closed: str | None

    @cached_property
    def steps(self) -> tuple[CourseStep, ...]:
        """All steps in order."""
        return tuple(step for _, steps in self.parts for step in steps)

    @property
    def next(self) -> CourseStep | None:
        """The first step that is not over; None where all are."""
        return next((step for step in self.steps if not step.is_over), None)

    def barrier(self, number: str) -> CourseStep | None:
        """The hold before a step that nobody has signed; None where the step may be done."""
        before = self.steps[: self.place(number)]
        return next((step for step in before if step.holds), None)

    def place(self, number: str) -> int:
        """Place of a step in ``steps``."""
        return next(at for at, step in enumerate(self.steps) if step.number == number)

    def finished_by(self, number: str) -> tuple[str, ...]:
        """Repairs of which this step is the last to be ticked and signed, in the order of work; proof comes after."""
        mine = self.steps[self.place(number)]
        done = [action for action in self.actions if action not in self.finished and self._is_last(action, mine)]
        return tuple(done)

    def _is_last(self, action: str, mine: CourseStep) -> bool:
        wanted = self.doing(action)
        return mine in wanted and all(step.is_over for step in wanted if step is not mine)

    def doing(self, action: str) -> list[CourseStep]:
        """The steps that a repair is done by: without its proof, unless it has nothing else."""
        own = [step for step in self.steps if action in step.of]
        return [step for step in own if step.step.phase != PROVE] or own

    @property
    def rechecks_due(self) -> tuple[str, ...]:
        """What is looked at after it, by each repair, each said once."""
        return proofs(self.knowledge, self.actions)

    @property
    def left(self) -> tuple[CourseStep, ...]:
        """Steps that are not over."""
        return tuple(step for step in self.steps if not step.is_over)

    @property
    def is_under_way(self) -> bool:
        """Whether some of it is done, and not all."""
        return self.next is not None and any(step.done is not None for step in self.steps)

    @property
    def is_settled(self) -> bool:
        """Whether it is on its way, or done and not found damp or wet since: nothing is left to choose."""
        return self.is_under_way or bool(self.afterwards)

    @property
    def last_entry(self) -> int:
        """The last entry that belongs to it."""
        ticks = [entry for step in self.steps for entry in (step.done, step.signed) if entry is not None]
        return max(entry.number for entry in (self.decided, *ticks, *self.finished.values(), *self.rechecks))

    @property
    def afterwards(self) -> str:
        """What is left once every step is over; empty while one is not, and where it was found damp or wet again."""
        if self.next is not None:
            return ""
        if not self.rechecks:
            return f"Look again: {' '.join(self.rechecks_due)}"
        return "Close the case, or look again." if self.rechecks[-1].text == RECHECKED[0] else ""


def progress_words(course: Course | None) -> str:
    """How far it is and what is next, on one line; empty where nothing was decided on."""
    if course is None:
        return ""
    said = f"{len(course.steps) - len(course.left)} of {counted(len(course.steps), 'step')} done"
    mine = course.next
    if mine is None:
        last = f"last looked at: {course.rechecks[-1].text}" if course.rechecks else "to be looked at again"
        return f"{said}; {f'closed: {course.closed}' if course.closed else last}"
    if mine.done is not None:
        return f"{said}; HOLD to be signed after {mine.number}: {mine.step.hold}"
    return f"{said}; next {mine.number}: {mine.step.do}"


def repairs_done(knowledge: Knowledge, case: Case) -> tuple[str, ...]:
    """Repairs that are written down as done since the truck was last brought in, each once."""
    done = [e.act for e in _of_this_visit(case) if isinstance(e, Done) and e.act in knowledge.repairs]
    return tuple(dict.fromkeys(done))


def last_recheck(case: Case) -> Record | None:
    """What was found when it was last looked at again, since the truck was last brought in; None: nobody did."""
    found = [e for e in _of_this_visit(case) if isinstance(e, Record) and e.kind == "recheck"]
    return found[-1] if found else None


def decided_actions(knowledge: Knowledge, text: str) -> tuple[str, ...]:
    """The repairs that a decision names, by id, name or synonym with a + between; none where it says it otherwise."""
    found = [meant(word.strip(), knowledge.repairs) for word in text.split(JOINED)]
    return () if None in found else tuple(dict.fromkeys(id for id in found if id is not None))


def decision_of(knowledge: Knowledge, case: Case) -> tuple[Record, tuple[str, ...]] | None:
    """The last decision that stands since the truck came in, with its repairs; None where none names any."""
    for entry in reversed(list(_of_this_visit(case))):
        if isinstance(entry, Record) and entry.kind == "decided":
            actions = decided_actions(knowledge, entry.text)
            if actions:
                return entry, actions
    return None


def course_of(knowledge: Knowledge, case: Case) -> Course | None:
    """How far the repair is; None where none was decided on. Raises CaseError where answers exclude one another."""
    decision = decision_of(knowledge, case)
    if decision is None:
        return None
    decided, actions = decision
    then = diagnose(knowledge, structs.replace(case, log=tuple(e for e in case.standing if e.number <= decided.number)))
    visit = tuple(_of_this_visit(case))
    ordered = work_order(then, actions)
    return Course(
        knowledge=knowledge,
        decided=decided,
        actions=ordered,
        parts=_parts(then, ordered, visit),
        finished={e.act: e for e in visit if isinstance(e, Done) and e.act in actions and e.number > decided.number},
        rechecks=tuple(e for e in visit if isinstance(e, Record) and e.kind == "recheck" and e.number > decided.number),
        closed=case.closed,
    )


def _of_this_visit(case: Case) -> Iterator[LogEntry]:
    """What stands since the truck was last brought in."""
    back = max((entry.number for entry in case.standing if isinstance(entry, Comeback)), default=0)
    return (entry for entry in case.standing if entry.number > back)


def _parts(
    then: Diagnosis, actions: Sequence[str], visit: Sequence[LogEntry]
) -> tuple[tuple[str, tuple[CourseStep, ...]], ...]:
    openings = then.knowledge.openings
    ticked = {e.text: e for e in visit if isinstance(e, Record) and e.kind == "step"}
    signed = {e.text: e for e in visit if isinstance(e, Record) and e.kind == "signed"}
    acts = {e.act: e for e in visit if isinstance(e, Done)}
    parts = []
    for number, part in enumerate(job_parts(then, actions), start=1):
        steps = []
        for place, row in enumerate(part.rows, start=1):
            act = (openings[row.opens].act if row.opens else row.step.act) or ""
            steps.append(
                CourseStep(
                    number=f"{number}.{place}",
                    step=row.step,
                    of=row.of,
                    act=act,
                    done=acts.get(act) if act else ticked.get(row.step.do),
                    signed=signed.get(row.step.hold or ""),
                )
            )
        parts.append((part.title, tuple(steps)))
    return tuple(parts)
