"""The repair that was decided on, written down step by step: decided, ticked, signed, looked at again, closed."""

from collections.abc import Sequence

from leakdx.case import OUTCOMES, RECHECKED, Case, Done, LogEntry, Record, RecordKind, Withdrawal
from leakdx.clean import clean_line
from leakdx.explain.course import Course, CourseStep, course_of
from leakdx.explain.words import counted, path_name
from leakdx.interview.question import ReplyError
from leakdx.interview.session import Interview
from leakdx.measured.sealant import read_label


class Repairing:
    """Writes into the case of an interview. Each act returns what was written, in words; ReplyError: nothing was."""

    def __init__(self, interview: Interview) -> None:
        self._interview = interview

    @property
    def case(self) -> Case:
        """The case as saved."""
        return self._interview.case

    def course(self) -> Course | None:
        """How far it is; None where nothing was decided on."""
        return course_of(self._interview.knowledge, self._interview.case)

    def decide(self, actions: Sequence[str], why: str) -> tuple[str, ...]:
        """Decide on a repair path, with the reason."""
        if not actions:
            raise ReplyError("there is nothing to repair in this path; close the case, or look further")
        reason = clean_line(why)
        if not reason:
            raise ReplyError("a decision needs its reason; say in a few words why this one")
        return self._write([_record("decided", path_name(self._interview.knowledge, actions), note=reason)])

    def stands_before(self, number: str) -> tuple[str, ...]:
        """What holds and rules have against ticking a step, or against the repairs that are done with it, in words."""
        course, step = self._step(number)
        acts = ([step.act] if step.act else []) + list(course.finished_by(number))
        return tuple(dict.fromkeys(said for act in acts for said in self._interview.stood_before(act)))

    def tick(self, number: str) -> tuple[str, ...]:
        """A step is done; with the last one of a repair the repair is. Not before the holds before it are signed."""
        course, step = self._step(number)
        if step.done is not None:
            raise ReplyError(f"step {number} is ticked already")
        self._pass(course, number)
        entries: list[LogEntry] = [_done(step.act) if step.act else _record("step", step.step.do)]
        if not step.holds:
            entries += map(_done, course.finished_by(number))
        return self._write(entries)

    def sign(self, number: str, signature: str) -> tuple[str, ...]:
        """Sign the hold of a step that is done: initials, and behind them what else is to be on file."""
        course, step = self._step(number)
        initials, _, note = clean_line(signature).strip().partition(" ")
        if step.step.hold is None:
            raise ReplyError(f"step {number} has no hold to sign")
        if step.signed is not None:
            raise ReplyError(f"the hold of step {number} is signed already by {step.signed.who}")
        if step.done is None:
            raise ReplyError(f"tick step {number} first; its hold is signed after it")
        if not initials:
            raise ReplyError("a hold is signed by initials; type those of who looked")
        signed = _record("signed", step.step.hold, note=note.strip(), who=initials)
        return self._write([signed, *map(_done, course.finished_by(number))])

    def untick(self, number: str) -> tuple[str, ...]:
        """Take a step back, with its signature and the repairs that were done by it."""
        course, step = self._step(number)
        if step.done is None:
            raise ReplyError(f"step {number} is not ticked")
        gone = [step.done, step.signed, *(course.finished.get(action) for action in step.of)]
        why = f"step {number} was taken back"
        numbers = sorted({entry.number for entry in gone if entry is not None})
        return self._write([Withdrawal(number=0, who="", entry=entry, note=why) for entry in numbers])

    def tightened(self, words: str) -> tuple[str, ...]:
        """A whole pass round the ring."""
        return self._write([_record("step", words)])

    def sealant(self, said: str) -> tuple[str, ...]:
        """What the sealant's label says and the air of the shop. MeasureError: it cannot be so."""
        read_label(said)
        return self._write([_record("sealant", clean_line(said))])

    def state(self, words: str) -> tuple[str, ...]:
        """How the truck stands."""
        return self._write([_record("state", words)])

    def recheck(self, found: str, words: str = "") -> tuple[str, ...]:
        """What a look after the repair has found, one of RECHECKED, and when or after how far."""
        if found not in RECHECKED:
            raise ReplyError(f"a recheck finds it {', '.join(RECHECKED[:-1])} or {RECHECKED[-1]}")
        return self._write([_record("recheck", found, note=clean_line(words))])

    def close(self, outcome: str) -> tuple[str, ...]:
        """Close the case."""
        if outcome not in OUTCOMES:
            raise ReplyError(f"a case is closed as {', '.join(OUTCOMES[:-1])} or {OUTCOMES[-1]}")
        if self._interview.case.closed:
            raise ReplyError(f"the case is closed already ({self._interview.case.closed})")
        return self._write([_record("closed", outcome)])

    def stands_against_closing(self, outcome: str) -> tuple[str, ...]:
        """What is not done yet, or says otherwise, in words."""
        course = self.course()
        if course is None:
            return ("No repair was decided on.",)
        said = [f"{counted(len(course.left), 'step')} not ticked or not signed."] if course.left else []
        last = course.rechecks[-1].text if course.rechecks else None
        if outcome == OUTCOMES[0] and last != RECHECKED[0]:
            found = "No recheck is written down." if last is None else f"The last recheck found it {last}."
            said.append(found)
        return tuple(said)

    # -- parts -------------------------------------------------------------------------------------------

    def _step(self, number: str) -> tuple[Course, CourseStep]:
        course = self.course()
        if course is None:
            raise ReplyError("no repair was decided on; choose one first")
        step = next((step for step in course.steps if step.number == number), None)
        if step is None:
            raise ReplyError(f"there is no step {number} in this repair")
        return course, step

    def _pass(self, course: Course, number: str) -> None:
        """ReplyError where a hold before the step is not signed."""
        barrier = course.barrier(number)
        if barrier is not None:
            first = "sign it first" if barrier.done is not None else f"do step {barrier.number} and sign it first"
            raise ReplyError(f"the hold after step {barrier.number} is not signed ({barrier.step.hold}); {first}")

    def _write(self, entries: Sequence[LogEntry]) -> tuple[str, ...]:
        return self._interview.write(entries)


def _record(kind: RecordKind, text: str, note: str = "", who: str = "") -> Record:
    return Record(number=0, who=who, kind=kind, text=text, note=note)


def _done(act: str) -> Done:
    return Done(number=0, who="", act=act)
