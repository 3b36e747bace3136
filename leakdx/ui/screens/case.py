"""A case: its strip, the next check as the one big thing, and what the last answer changed."""

import asyncio
from contextlib import suppress
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Footer, Input

from leakdx.errors import LeakdxError
from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.base import FieldPage, seen_through
from leakdx.ui.screens.causes import CausesScreen
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.entry import EntryScreen
from leakdx.ui.screens.handover import hand_over
from leakdx.ui.screens.ledger import LedgerScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.measure import MeasureScreen
from leakdx.ui.screens.nextshift import NextShiftScreen
from leakdx.ui.screens.others import OthersScreen
from leakdx.ui.screens.paths import PathsScreen
from leakdx.ui.screens.reasons import ReasonPage
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.screens.saw import SawScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.widgets.answers import Answers
from leakdx.ui.widgets.causerows import CausesBeside
from leakdx.ui.widgets.clockline import ClockLine
from leakdx.ui.widgets.moved import Moved
from leakdx.ui.widgets.questionbox import QuestionBox
from leakdx.ui.widgets.strip import Strip

if TYPE_CHECKING:
    from collections.abc import Awaitable

    from textual.worker import Worker

    from leakdx.explain.glance import Glance
    from leakdx.interview.measuring.offer import Offered
    from leakdx.interview.question import Question
    from leakdx.ui.sitting import Said, Sitting

ADVICE = "advice"
"""The group of what weighs repairs: what was not begun when an answer comes is not begun at all."""
LONGEST_PAINT = 0.3
"""Seconds."""
NOTE = "A note, in your words. Nothing is concluded from it."
UNSURE, REACH, FITTED = "?", "x", "nf"
"""What nobody could tell, as ``leakdx ask`` takes it."""
UNKEPT = "What is half typed stands on the screen but would not outlast a power cut"


class CaseScreen(FieldPage):
    """One truck: asks, takes, shows what it did. Everything is saved as it is answered."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings_of("case"),
        *(Binding(str(n % 10), f"number({n})", show=False) for n in range(1, 11)),
        Binding("escape", "out", "Out of the field, to the keys", key_display="Esc"),
    ]
    where = "case"
    about: ClassVar[str] = (
        "One truck. Above: may it be driven, what is held, where the oil comes out, what most likely failed. "
        "In the middle the next thing to look at: answer by its number. Below: what your last answer changed. "
        "Each answer is saved at once."
    )

    class Unkept(Message):
        """What is half typed cannot be kept. May be sent from any thread."""

        def __init__(self, why: str) -> None:
            super().__init__()
            self.why = why

    def __init__(self, sitting: "Sitting") -> None:
        super().__init__()
        self.sitting = sitting
        self.question: Question | None = None
        """What is asked now; None while it is being worked out."""
        self.now: Glance | None = None
        """The case at a glance, as it is shown."""
        self._revised = 0
        """The entry that the next answer stands in place of; 0 for none."""
        self._is_aside = False
        """Whether what is asked was asked for, out of its turn."""
        self._is_stale = False
        self.turn = 0
        """Counts what was done: what comes late, for an earlier turn, is not shown."""

    def compose(self) -> ComposeResult:
        """Strip, question, what moved, bar."""
        yield Strip()
        yield ClockLine(self.sitting.clocks)
        with Horizontal(id="middle"):
            yield QuestionBox()
            yield CausesBeside(id="causes")
        yield Moved(id="moved")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Show where the case stands, then ask on."""
        self.query_one(QuestionBox).wait()
        self.sitting.drafts.tell = self._unkept
        self.run_worker(self._open(), group="case")

    async def _open(self) -> None:
        self._show(await self.sitting.glance())
        self.query_one(Moved).show_left(self.sitting.drafts.titles)
        await self._ask_on(self.turn)

    def _show(self, now: "Glance") -> None:
        self.now = now
        self.query_one(Strip).show(now, self.sitting.practice)
        self.query_one(CausesBeside).show(now, plain_marks=self.leakdx.plain_marks)
        self.query_one(ClockLine).read()

    # -- asking ------------------------------------------------------------------------------------------

    async def _ask_on(self, turn: int) -> None:
        """Work out what to ask, and ask it unless something else was done meanwhile."""
        question = await self.sitting.question()
        if turn != self.turn or not self.is_alive:
            return
        check, span = self.sitting.check_words(question)
        self.question, self._revised, self._is_aside = question, 0, False
        skips, story = self.sitting.at_counter, self.sitting.story_at_start
        half = self._half_typed(question)
        await self.query_one(QuestionBox).ask(question, check, span, skips=skips, story=story, half=half)
        if turn == self.turn:
            self._advise()

    @work(group=ADVICE, exclusive=True)
    async def _advise(self) -> None:
        """Offer the repair that the plan is clear about. It comes after the question, so that no hand waits for it."""
        advice = await self.sitting.advice()
        if self.is_alive:
            self.query_one(Strip).advise(advice)

    def _half_typed(self, question: "Question") -> str:
        left = self.sitting.answer_draft(question).left
        return left.field if left else ""

    @on(Input.Changed, "#line")
    def _typed(self, event: Input.Changed) -> None:
        """Keep an answer letter by letter; what is heard of late, of a question before, is not this one's."""
        if self.question is not None and event.value == event.input.value:
            self.sitting.answer_draft(self.question).keep(event.value)

    def _unkept(self, why: str) -> None:
        self.post_message(self.Unkept(why))

    @on(Unkept)
    def _said_unkept(self, event: Unkept) -> None:
        self.notify(f"{UNKEPT}: {event.why}.", title="Not kept", severity="warning", markup=False)

    @on(Answers.Given)
    def _given(self, event: Answers.Given) -> None:
        question = self.question
        if question is None:
            return
        if self.sitting.at_counter and event.line == UNSURE:
            self.sitting.skip()
            self.ask_anew()
        elif self._revised:
            self.do(self.sitting.revise(self._revised, question, event.line))
        else:
            self.do(self.sitting.answer(question, event.line))

    def do(self, act: "Awaitable[Said]") -> "Worker[None]":
        """Do something to the case; other screens use this too. What it changed is shown, then it asks on."""
        asked = self.question
        self._next_turn()
        return self.run_worker(self._do(act, asked, self.turn), group="case")

    async def _do(self, act: "Awaitable[Said]", asked: "Question | None", turn: int) -> None:
        said = await act
        if not self.is_alive:
            return
        self._show(said.glance)
        self.query_one(Moved).show(said)
        await self._painted()
        if turn != self.turn:
            return
        if said.wrong and asked is not None:
            self.question = asked
            self._ask_again(asked)
        else:
            self._revised = 0
            await self._ask_on(turn)

    def _next_turn(self) -> None:
        """Something is done: nothing can be answered until the next question stands there."""
        self.turn += 1
        self.question = None
        self.workers.cancel_group(self, ADVICE)
        self.query_one(QuestionBox).wait()

    async def _painted(self) -> None:
        """What was changed stands on the screen: only then checks are weighed, on the same processor.

        Where nothing is painted, as under another screen, nothing waits for it.
        """
        drawn = asyncio.Event()
        self.call_after_refresh(drawn.set)
        with suppress(TimeoutError):
            await asyncio.wait_for(drawn.wait(), LONGEST_PAINT)

    async def done(self, act: "Awaitable[Said]") -> None:
        """As ``do``, for a screen over this one that waits for it; it is done even if that screen is left meanwhile."""
        await seen_through(self.do(act))

    def _ask_again(self, question: "Question") -> None:
        """The reply was not taken: the same question, with what was typed."""
        check, span = self.sitting.check_words(question)
        box = self.query_one(QuestionBox)
        box.head(check, span)
        box.answers.open_again(question)
        self._advise()

    def ask_anew(self) -> None:
        """Something has changed elsewhere: ask what is to be asked now."""
        self._next_turn()
        self.run_worker(self._ask_on(self.turn), group="case")

    # -- asked for -----------------------------------------------------------------------------------------

    def ask_about(self, id: str) -> None:
        """Ask about one sign or fact now."""
        self._ask_instead(self.sitting.about(id))

    def ask_check(self, id: str) -> None:
        """Ask what a check has to tell now."""
        self._ask_instead(self.sitting.of_check(id))

    def revise(self, number: int) -> None:
        """Ask again what an entry answered."""
        self._ask_instead(self.sitting.again(number), revised=number)

    def _ask_instead(self, asked: "Awaitable[Question | None]", revised: int = 0) -> None:
        self._next_turn()
        self._revised = 0
        self.run_worker(self._ask_this(asked, revised, self.turn), group="case")

    async def _ask_this(self, asked: "Awaitable[Question | None]", revised: int, turn: int) -> None:
        question = await asked
        if turn != self.turn or not self.is_alive:
            return
        if question is None:
            self.notify("Nothing more can be asked about that as the truck stands.", markup=False)
            await self._ask_on(turn)
            return
        check, span = self.sitting.check_words(question)
        head = f"entry {revised} anew: {check}" if revised else check
        self.question, self._revised, self._is_aside = question, revised, True
        await self.query_one(QuestionBox).ask(question, head, span, half=self._half_typed(question))
        if turn == self.turn:
            self._advise()

    def did(self, id: str, name: str) -> None:
        """Something was done; what stands against it is said first."""
        self.run_worker(self._did(id, name), group="case")

    async def _did(self, id: str, name: str) -> None:
        against = await self.sitting.stood_before(id)
        if against and not await self.app.push_screen_wait(ConfirmScreen("\n".join(against), f"Was it done: {name}?")):
            return
        self.do(self.sitting.did(id))

    @work(group="measure", exclusive=True)
    async def measure(self, offer: "Offered") -> None:
        """Type a measurement."""
        form = await self.sitting.measuring.form(offer)
        if self.is_current:
            await self.app.push_screen(EntryScreen(self, form, offer.cautions, offer.needs))

    def show_why(self, thing: str | None, name: str) -> None:
        """Why something is so, by its id; the whole answer for None."""
        self.app.push_screen(ReasonPage(self.sitting, thing, name))

    async def write(self, act: "Awaitable[Said]") -> "Said":
        """Write something down from a screen over this one, even if that screen is left meanwhile.

        What to ask is worked out when this one stands there again.
        """
        return await seen_through(self.run_worker(self._write(act), group="case"))

    async def _write(self, act: "Awaitable[Said]") -> "Said":
        said = await act
        if self.is_alive:
            self._next_turn()
            self._show(said.glance)
            self.query_one(Moved).show(said)
            self._is_stale = True
            if self.is_current:
                self.on_screen_resume()
        return said

    def on_screen_resume(self) -> None:
        """Back from a screen that has written something: ask what is to be asked now."""
        if self._is_stale:
            self._is_stale = False
            self.ask_anew()

    @work(group="repair", exclusive=True)
    async def action_repair(self) -> None:
        """The repair that was decided on, or those to choose from."""
        try:
            course = await self.sitting.course()
        except LeakdxError as error:
            self.notify(str(error), title="No repair to show", severity="error", markup=False)
            return
        if self.app.screen is self:  # a second press of the key opens it once
            self.app.push_screen(PathsScreen(self) if course is None else RepairScreen(self, course))

    # -- keys --------------------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Whether something can be done now: there is not always a field to be left."""
        return isinstance(self.focused, Input) if action == "out" else super().check_action(action, parameters)

    def action_out(self) -> None:
        """Out of the field, so that letters are keys again."""
        self.set_focus(None)

    @property
    def answers(self) -> Answers:
        """Where the answer is given."""
        return self.query_one(Answers)

    def action_number(self, number: int) -> None:
        """Answer by number."""
        self.answers.number(number)

    def action_unsure(self) -> None:
        """Looked, cannot tell; at the counter: skip."""
        self.answers.nothing(UNSURE)

    def action_reach(self) -> None:
        """Not looked at."""
        self.answers.nothing(REACH)

    def action_fitted(self) -> None:
        """There is none on this truck."""
        self.answers.nothing(FITTED)

    def action_fairly(self) -> None:
        """Mark the next answer as fairly sure."""
        self.answers.toggle_fairly()

    def action_done(self) -> None:
        """Send what is marked."""
        self.answers.done()

    def action_rest_dry(self) -> None:
        """Send what is marked, and all else as dry."""
        self.answers.done(rest_dry=True)

    def action_typed(self) -> None:
        """A field for the answer."""
        self.answers.type_it()

    def action_undo(self) -> None:
        """Take back the last reply."""
        self.do(self.sitting.undo())

    def action_put_back(self) -> None:
        """Let what was taken back stand again."""
        self.do(self.sitting.put_back())

    def action_why(self) -> None:
        """Why this question, then why the whole answer."""
        question = self.question
        check = question.check if question is not None else ""
        name = self.sitting.check_words(question)[0] if question is not None and check else "the answer so far"
        self.show_why(check or None, name)

    def action_saw(self) -> None:
        """Something else that was seen, told or done."""
        self.app.push_screen(SawScreen(self))

    def action_measure(self) -> None:
        """Readings place by place."""
        self.app.push_screen(MeasureScreen(self))

    def action_causes(self) -> None:
        """All causes."""
        if self.now is not None:
            self.app.push_screen(CausesScreen(self, self.now))

    def action_ledger(self) -> None:
        """Everything that was answered."""
        self.app.push_screen(LedgerScreen(self))

    def action_others(self) -> None:
        """Other checks."""
        self.app.push_screen(OthersScreen(self))

    def action_holds(self) -> None:
        """Fit to drive, and all that is held."""
        self.app.push_screen(TextPage("Safety and holds", lambda _: self.sitting.safety()))

    def action_whole(self) -> None:
        """The whole answer."""
        self.app.push_screen(TextPage("The whole answer", self.sitting.whole))

    @work(group="pages", exclusive=True)
    async def action_pages(self) -> None:
        """A page to hand over."""
        await hand_over(self)

    def action_comeback(self) -> None:
        """It is wet again."""
        self.do(self.sitting.came_back())

    def action_next_shift(self) -> None:
        """One page for the next shift."""
        self.app.push_screen(NextShiftScreen(self))

    def action_note(self) -> None:
        """Words of one's own."""

        def written(text: str | None) -> None:
            if text:
                self.do(self.sitting.note(text))

        self.app.push_screen(LineScreen(NOTE, draft=self.sitting.note_draft), written)

    def action_units(self) -> None:
        """The other units."""
        units = self.sitting.switch_units()
        self.notify(f"Readings are asked in {units} units; either may be typed with its unit.", markup=False)
        self.ask_anew()

    def action_leave(self) -> None:
        """Back to what is to be asked, from what was asked for; else to the cases, and what was shown last is kept."""
        if self._is_aside:
            self._is_aside = False
            self.ask_anew()
            return
        self.leakdx.run_worker(self.sitting.leave(), group="leave")
        super().action_leave()
