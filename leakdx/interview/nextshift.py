"""What the next shift must know, on one page: what must not be done, held, next, done, seen, how the truck stands."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from msgspec import Struct

from leakdx.case import (
    NO_INFORMATION,
    Comeback,
    Done,
    LogEntry,
    Measurement,
    Note,
    Observation,
    PlacesSeen,
    Reading,
    Record,
)
from leakdx.explain.clocks import Running, clocks
from leakdx.explain.course import Course, course_of, decision_of
from leakdx.explain.page import Page
from leakdx.explain.reasons import FIT_WORDS
from leakdx.explain.words import minutes
from leakdx.interview.readback import read_back, signed_by
from leakdx.interview.session import Interview
from leakdx.reasoning.diagnosis import Diagnosis

FOR_NEXT = "For the next shift: "
"""Begins a note that the page shows."""
SEEN_SHOWN, DONE_SHOWN = 5, 5


class StateNow(Struct, frozen=True, kw_only=True):
    """One state of the truck. ``is_on``: None where nobody has said; ``said``: by whom and when.

    ``begins``, ``ends``: the act that brings it about and the one that ends it and least else, empty where it is only
    said.
    """

    id: str
    on: str
    off: str
    never: str
    is_on: bool | None
    said: str = ""
    begins: str = ""
    ends: str = ""

    @property
    def words(self) -> str:
        """How it is, in words."""
        how = {True: self.on, False: self.off, None: f"not said: {self.on}?"}[self.is_on]
        return f"{how} ({self.said})" if self.said else how


class NextShift(Struct, frozen=True, kw_only=True):
    """The page. Each part is lines of words; ``clocks`` as of ``now``."""

    unit: str
    now: datetime
    fit: str
    not_yet: tuple[str, ...]
    held: tuple[str, ...]
    next: str
    done: tuple[str, ...]
    seen: tuple[str, ...]
    notes: tuple[str, ...]
    states: tuple[StateNow, ...]
    clocks: tuple[Running, ...]


def next_shift(interview: Interview, now: datetime) -> NextShift:
    """The page of a case as it stands. Raises CaseError where its answers exclude one another."""
    made, case = interview.diagnosis, interview.case
    course, visit = course_of(interview.knowledge, case), tuple(_of_this_visit(case.standing))
    states, running = truck_states(made), clocks(interview.knowledge, case, now)
    fit = made.fit_to_drive
    notes = [e.note.removeprefix(FOR_NEXT) for e in visit if isinstance(e, Note) and e.note.startswith(FOR_NEXT)]
    return NextShift(
        unit=case.unit or case.id,
        now=now,
        fit=f"{FIT_WORDS[fit.answer]}: {fit.reason}",
        not_yet=(*(s.never for s in states if s.is_on), *(c.words for c in running if c.urgent)),
        held=(*_unsigned(course), *(hold.text for hold in made.holds)),
        next=_next(made, course),
        done=_done(made, course, visit),
        seen=_seen(made, visit),
        notes=tuple(notes),
        states=states,
        clocks=running,
    )


def truck_states(made: Diagnosis) -> tuple[StateNow, ...]:
    """How the truck stands: by what was done where an opening of the knowledge says it, else by what was last said."""
    visit = tuple(_of_this_visit(made.case.standing))
    knowledge, by_number = made.knowledge, {entry.number: entry for entry in visit}
    states = []
    for id, state in knowledge.trade_numbers.truck_states.items():
        words = {"id": id, "on": state.on, "off": state.off, "never": state.never}
        if state.opening in knowledge.openings:
            entry = by_number.get(made.timeline.open.get(state.opening, 0))
            act = knowledge.openings[state.opening].act or ""
            ending = [id for id, act in knowledge.acts.items() if state.opening in act.closes]
            ends = min(ending, key=lambda id: len(knowledge.acts[id].closes), default="")
            is_on = state.opening in made.timeline.open
            said = signed_by(entry) if entry else ""
            states.append(StateNow(**words, is_on=is_on, said=said, begins=act, ends=ends))
        else:
            told = [e for e in visit if isinstance(e, Record) and e.kind == "state" and e.text in (state.on, state.off)]
            last = told[-1] if told else None
            is_so = None if last is None else last.text == state.on
            states.append(StateNow(**words, is_on=is_so, said=signed_by(last) if last else ""))
    return tuple(states)


def next_shift_text(page: NextShift, width: int, *, whole: bool = True) -> str:
    """The page in words; ``whole``: with its title and how the truck stands, where these do not stand beside it."""
    made = Page(width)
    if whole:
        made.title(f"Hand-over: {page.unit}, {page.now:%Y-%m-%d %H:%M}")
    made.say(page.fit, "May it be driven: ", indent=0)
    for head, lines in (
        ("Not yet", page.not_yet),
        ("Next", (page.next,)),
        ("For you", page.notes),
        ("Held", page.held),
        ("Truck", tuple(state.words for state in page.states) if whole else ()),
        ("Clocks", tuple(clock.words for clock in page.clocks if not clock.urgent)),
        ("Done", page.done),
        ("Seen", page.seen),
    ):
        for line in lines:
            made.say(line, f"{head}: ", indent=0)
    return made.text()


# -- parts -----------------------------------------------------------------------------------------------


def _of_this_visit(standing: Sequence[LogEntry]) -> Iterator[LogEntry]:
    back = max((entry.number for entry in standing if isinstance(entry, Comeback)), default=0)
    return (entry for entry in standing if entry.number > back)


def _unsigned(course: Course | None) -> list[str]:
    """Holds of steps that are done and that nobody has signed."""
    steps = course.steps if course is not None else ()
    return [f"to be signed, step {s.number}: {s.step.hold}" for s in steps if s.done is not None and s.holds]


def _next(made: Diagnosis, course: Course | None) -> str:
    """The next step of the repair; else the next check, else what the plan says."""
    if course is not None and course.next is not None:
        mine = course.next
        return f"step {mine.number}: {mine.step.do}" if mine.done is None else f"sign the hold of step {mine.number}"
    if course is not None and course.afterwards:
        return course.afterwards
    check = made.next_check
    return made.decision.reason if check is None else f"{check.question} ({check.name}, {minutes(check.minutes)})"


def _done(made: Diagnosis, course: Course | None, visit: Sequence[LogEntry]) -> tuple[str, ...]:
    name = made.knowledge.name
    acts = [f"{name(e.act)} ({signed_by(e)})" for e in visit if isinstance(e, Done)]
    decision = decision_of(made.knowledge, made.case)
    lines = [f"decided: {decision[0].text} - {decision[0].note}"] if decision else []
    if course is not None:
        over = [step.number for step in course.steps if step.is_over]
        lines.append(f"steps {len(over)} of {len(course.steps)}" + (f", last {over[-1]}" if over else ""))
    return (*lines, *_last(acts, DONE_SHOWN))


def _seen(made: Diagnosis, visit: Sequence[LogEntry]) -> tuple[str, ...]:
    """The last looks that told something."""
    return _last([read_back(made.knowledge, e) for e in visit if _tells(e)], SEEN_SHOWN)


def _tells(entry: LogEntry) -> bool:
    if isinstance(entry, Observation):
        return entry.answer not in NO_INFORMATION
    return isinstance(entry, PlacesSeen | Reading | Measurement)


def _last(lines: Iterable[str], most: int) -> tuple[str, ...]:
    shown = list(lines)
    before = len(shown) - most
    return (*shown[-most:], f"and {before} before that, in the ledger") if before > 0 else tuple(shown)
