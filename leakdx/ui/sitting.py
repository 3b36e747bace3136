"""One case on the screen: each reply goes to the interview on the bench, and comes back with the case at a glance."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from functools import cached_property
from typing import Literal

from msgspec import Struct, structs

from leakdx.errors import LeakdxError
from leakdx.explain.clocks import Running, clocks
from leakdx.explain.course import Course, decision_of
from leakdx.explain.fastening import Ring, passes_done, ring_of, usual_ring
from leakdx.explain.glance import Glance, glance, safety_text
from leakdx.explain.how_sure import how_sure_text
from leakdx.explain.job import job_text
from leakdx.explain.paths import PathCard, barred_words, path_cards
from leakdx.explain.technician import technician_text
from leakdx.explain.what_changes import what_changes_text
from leakdx.explain.what_if import what_if, what_if_text
from leakdx.explain.why import why_not_text, why_text
from leakdx.explain.words import minutes, path_name
from leakdx.interview.intake import intake_questions
from leakdx.interview.ledger import LedgerLine, ledger
from leakdx.interview.nextshift import NextShift, StateNow, next_shift, truck_states
from leakdx.interview.question import Question
from leakdx.interview.repairing import Repairing
from leakdx.interview.search import Found, Search
from leakdx.interview.session import Interview
from leakdx.interview.suppose import supposed
from leakdx.interview.understand import understand
from leakdx.reasoning.answer import Decision, NextCheck
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.sensitivity import hanging
from leakdx.reasoning.uncertain import DRAWS, all_together
from leakdx.reasoning.unseat import PAIRS_TRIED, unseating
from leakdx.ui.bench import Bench
from leakdx.ui.drafts import Drafts, PageDraft
from leakdx.ui.measuring import Measuring

NOTHING_BARRED = "No rule forbids anything on this truck as it stands."


class Said(Struct, frozen=True):
    """What came of a reply. ``written``: entries in words; ``wrong``: why it was not taken, nothing changed then."""

    glance: Glance
    written: tuple[str, ...] = ()
    wrong: str = ""


class Sitting:
    """A case that is worked on. ``new``: it is begun with what is asked at the counter."""

    def __init__(self, bench: Bench, interview: Interview, *, new: bool = False, practice: bool = False) -> None:
        self.bench = bench
        self.interview = interview
        self.practice = practice
        self.repairing = Repairing(interview)
        self.drafts = Drafts(interview.home, bench.behind)
        self.measuring = Measuring(self)
        self._intake = list(intake_questions(interview.knowledge)) if new else []

    @property
    def name(self) -> str:
        """What is typed to come back to it."""
        return self.interview.home.name

    @property
    def at_counter(self) -> bool:
        """Whether what is asked now may simply be skipped."""
        return bool(self._intake)

    @property
    def story_at_start(self) -> str:
        """The driver's own words, as long as nothing was looked at."""
        case = self.interview.case
        return "" if case.log else case.story

    async def glance(self) -> Glance:
        """The case as it stands."""
        return await self.bench.run(self._glance, None)

    async def question(self) -> Question:
        """What to ask now. Slower than a glance: checks are weighed for it."""
        return self._intake[0] if self._intake else await self.bench.run(self.interview.question)

    def opening_name(self, id: str) -> str:
        """The name of a state of the truck."""
        return self.interview.knowledge.name(id)

    def check_words(self, question: Question) -> tuple[str, str]:
        """The name of the check that a question is part of, and its minutes in words; empty where it is of none."""
        name = self.interview.knowledge.name(question.check) if question.check else ""
        return name, minutes(question.minutes) if question.minutes else ""

    async def answer(self, question: Question, line: str) -> Said:
        """Reply to a question with a line as it would be typed."""
        return await self.do(self.answer_draft(question).written_by(lambda: self._answer(question, line)))

    async def undo(self, entry: int | None = None) -> Said:
        """Take back the last reply, or one entry."""
        return await self.do(lambda: self.interview.undo(entry))

    async def put_back(self) -> Said:
        """Let what was taken back last stand again."""
        return await self.do(self.interview.put_back)

    async def note(self, text: str) -> Said:
        """Words that nothing is concluded from."""
        return await self.do(self.note_draft.written_by(lambda: self.interview.note(text)))

    async def revise(self, number: int, question: Question, line: str) -> Said:
        """A new answer in place of an entry."""
        draft, revise = self.answer_draft(question), self.interview.revise
        return await self.do(draft.written_by(lambda: revise(number, question, understand(question, line))))

    async def came_back(self) -> Said:
        """It is wet again where it came in for."""
        return await self.do(lambda: self.interview.came_back(""))

    async def did(self, id: str) -> Said:
        """An act or a repair was done."""
        return await self.do(lambda: self.interview.did(id))

    async def stood_before(self, id: str) -> tuple[str, ...]:
        """What stands against doing something, in words."""
        return await self.bench.run(self.interview.stood_before, id)

    @property
    def note_draft(self) -> PageDraft:
        """A note that stands half typed."""
        return self.drafts.page("note", "a note (key a)")

    def answer_draft(self, question: Question) -> PageDraft:
        """An answer that stands half typed."""
        return self.drafts.page(f"answer {question.id}", f"the answer to: {question.text}")

    async def do(self, act: Callable[[], tuple[str, ...]]) -> Said:
        """Do something to the case on the bench; it returns what it has written, in words."""
        return await self.bench.run(self._do, act)

    # -- the repair --------------------------------------------------------------------------------------

    async def advice(self) -> str:
        """What the plan would repair now, where it says so and nothing was decided on; else empty."""
        return await self.bench.run(self._advice)

    async def paths(self) -> tuple[Decision, tuple[PathCard, ...]]:
        """What the plan says, and the best repair paths. Slower than a glance: paths are priced for it."""
        return await self.bench.run(lambda: (self.interview.diagnosis.decision, path_cards(self.interview.diagnosis)))

    async def course(self) -> Course | None:
        """How far the repair is; None where none was decided on."""
        return await self.bench.run(self.repairing.course)

    async def stands_before(self, number: str) -> tuple[str, ...]:
        """What stands against a step of the repair, in words."""
        return await self.bench.run(self.repairing.stands_before, number)

    async def stands_against_closing(self, outcome: str) -> tuple[str, ...]:
        """What is not done yet, or says otherwise, in words."""
        return await self.bench.run(self.repairing.stands_against_closing, outcome)

    async def next_shift(self) -> NextShift:
        """What the next shift must know. Slower than a glance where the next check has to be weighed for it."""
        return await self.bench.run(lambda: next_shift(self.interview, datetime.now()))

    async def truck_states(self) -> tuple[StateNow, ...]:
        """How the truck stands."""
        return await self.bench.run(lambda: truck_states(self.interview.diagnosis))

    async def usual_ring(self) -> str:
        """The fasteners of this truck's joint, as they would be typed; empty where they are not known."""
        return await self.bench.run(lambda: usual_ring(self.interview.knowledge, self.interview.case))

    async def ring(self, typed: str) -> tuple[Ring, int]:
        """The ring that is tightened, and how many passes are done. Raises MeasureError."""
        case = self.interview.case
        return await self.bench.run(lambda: (ring_of(self.interview.knowledge, case.axle, typed), passes_done(case)))

    async def clocks(self) -> tuple[Running, ...]:
        """The clocks of a bead that was begun, as of now."""
        return await self.bench.run(lambda: clocks(self.interview.knowledge, self.interview.case, datetime.now()))

    async def barred(self) -> str:
        """All that rules forbid."""
        return await self.bench.run(lambda: self._in_words(lambda d: "\n\n".join(barred_words(d)) or NOTHING_BARRED))

    async def job(self, actions: Sequence[str], width: int) -> str:
        """Tools, parts and steps of a repair, as they are printed."""
        return await self.bench.run(lambda: self._in_words(lambda d: job_text(d, actions, width)))

    # -- looking -----------------------------------------------------------------------------------------

    async def about(self, id: str) -> Question | None:
        """The question of a sign or of what is told."""
        return await self.bench.run(self.interview.about, id)

    async def of_check(self, id: str) -> Question | None:
        """The next question of a check."""
        return await self.bench.run(self.interview.of_check, id)

    async def again(self, number: int) -> Question | None:
        """The question that an entry answered."""
        return await self.bench.run(self.interview.again, number)

    async def ledger(self) -> tuple[LedgerLine, ...]:
        """Everything that was answered."""
        return await self.bench.run(lambda: ledger(self.interview.knowledge, self.interview.case))

    async def others(self) -> tuple[NextCheck, ...]:
        """The check worth its minutes most, and the others that are worth theirs."""
        return await self.bench.run(self._others)

    async def find(self, typed: str) -> tuple[Found, ...]:
        """Signs, facts and acts that what is typed fits."""
        return await self.bench.run(lambda: self._search.find(typed))

    async def why(self, thing: str | None, width: int) -> str:
        """The reasons of a thing, by id or name, or of the whole answer."""
        return await self.bench.run(lambda: self._in_words(lambda d: why_text(d.knowledge, d.case, d, thing, width)))

    async def why_not(self, thing: str, width: int) -> str:
        """What stands against a thing, and what would speak for it."""
        return await self.bench.run_beside(lambda: self._in_words(lambda d: why_not_text(d, thing, width)))

    async def what_if(self, line: str, width: int) -> str:
        """What would be otherwise with an answer as it would be typed. Raises UsageError for one that means nothing."""
        return await self.bench.run_beside(lambda: self._in_words(lambda d: self._what_if(d, line, width)))

    async def what_changes(self, width: int, pairs: int | None) -> str:
        """Which answers would change the cause or the repair; ``pairs``: how many are tried, None: the usual number."""
        most = PAIRS_TRIED if pairs is None else pairs
        return await self.bench.run_beside(
            lambda: self._in_words(lambda d: what_changes_text(d, unseating(d, most), width))
        )

    async def how_sure(self, width: int) -> str:
        """On which judged numbers the cause and the repair hang."""
        return await self.bench.run_beside(
            lambda: self._in_words(lambda d: how_sure_text(d, hanging(d), all_together(d, DRAWS), width))
        )

    async def whole(self, width: int) -> str:
        """The whole answer, as ``leakdx diagnose`` writes it."""
        return await self.bench.run(lambda: self._in_words(lambda d: technician_text(d.knowledge, d.case, d, width)))

    async def page(self, reader: str, typed: str) -> str:
        """Write a page to hand over into a new file; what was written, in words. Raises StorageError."""
        return await self.bench.run(lambda: self._page(reader, typed))

    def _page(self, reader: str, typed: str) -> str:
        # Templates and engines, which no other key needs.
        from leakdx.pages.photos import photos_of
        from leakdx.pages.readers import page_of
        from leakdx.pages.written import write_page
        from leakdx.store.files import typed_path

        diagnosis = self.interview.diagnosis
        photos = photos_of(diagnosis.case, lambda entry: self.bench.kept_file(entry.text))
        return write_page(page_of(reader, diagnosis, photos), typed_path(typed))

    async def safety(self) -> str:
        """Fit to drive with its reason, and every hold in full."""
        return await self.bench.run(lambda: self._in_words(safety_text))

    def switch_units(self) -> str:
        """Readings are asked in the other system of units from now on; its name."""
        ways = self.interview.ways
        units: Literal["inch", "metric"] = "inch" if ways.units == "metric" else "metric"
        self.interview.ways = structs.replace(ways, units=units)
        return units

    async def leave(self) -> None:
        """Keep what was shown last with the case, where its home keeps such things."""
        await self.bench.run(self._keep_shown)

    # -- beside the bench --------------------------------------------------------------------------------

    def _what_if(self, now: Diagnosis, line: str, width: int) -> str:
        interview = self.interview
        case, tried = supposed(interview.knowledge, now.case, [line], interview.ways)
        after = diagnose(interview.knowledge, case)
        return what_if_text(now, after, what_if(now, after, tried), width)

    # -- on the bench ------------------------------------------------------------------------------------

    def _do(self, act: Callable[[], tuple[str, ...]]) -> Said:
        before = self._diagnosis()
        try:
            written = act()
        except LeakdxError as error:
            return Said(self._glance(None), wrong=f"{str(error)[:1].upper()}{str(error)[1:]}.")
        return Said(self._glance(before), written)

    def _answer(self, question: Question, line: str) -> tuple[str, ...]:
        written = self.interview.take(question, understand(question, line))
        if self._intake and self._intake[0] == question:
            del self._intake[0]
        return written

    def skip(self) -> None:
        """Leave what is asked at the counter unanswered."""
        for question in self._intake[:1]:
            self.answer_draft(question).drop()
        del self._intake[:1]

    def _diagnosis(self) -> Diagnosis | None:
        """The diagnosis; None where answers exclude one another."""
        try:
            return self.interview.diagnosis
        except LeakdxError:
            return None

    def _glance(self, before: Diagnosis | None) -> Glance:
        case = self.interview.case
        try:
            return glance(case, self.interview.diagnosis, before)
        except LeakdxError as error:
            return Glance(unit=case.unit or case.id, trouble=str(error), entries=len(case.standing))

    @cached_property
    def _search(self) -> Search:
        return Search(self.interview.knowledge)

    def _advice(self) -> str:
        if self.at_counter:  # nothing was looked at yet, and weighing takes its time
            return ""
        made = self._diagnosis()
        if made is None or made.decision.do != "repair" or decision_of(made.knowledge, made.case):
            return ""
        return path_name(made.knowledge, made.repairs[0].actions)

    def _others(self) -> tuple[NextCheck, ...]:
        answers = self.interview.diagnosis.answers
        return (*((answers.next_check,) if answers.next_check else ()), *answers.other_checks)

    def _in_words(self, said: Callable[[Diagnosis], str]) -> str:
        """A text about the diagnosis; where there is none, why not."""
        try:
            return said(self.interview.diagnosis)
        except LeakdxError as error:
            return str(error)

    def _keep_shown(self) -> None:
        made = self._diagnosis()
        if made is not None and self.interview.case.log:
            # Where it cannot be kept the case itself still is.
            with suppress(LeakdxError):
                self.interview.home.shown(made)
