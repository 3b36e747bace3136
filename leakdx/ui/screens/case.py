"""A case: its strip, the next check as the one big thing, and what the last answer changed."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Footer

from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.base import Page
from leakdx.ui.widgets.answers import Answers
from leakdx.ui.widgets.moved import Moved
from leakdx.ui.widgets.questionbox import QuestionBox
from leakdx.ui.widgets.strip import Strip

if TYPE_CHECKING:
    from collections.abc import Awaitable

    from leakdx.interview.question import Question
    from leakdx.ui.sitting import Said, Sitting

UNSURE, REACH, FITTED = "?", "x", "nf"
"""What nobody could tell, as ``leakdx ask`` takes it."""


class CaseScreen(Page):
    """One truck: asks, takes, shows what it did. Everything is saved as it is answered."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings_of("case"),
        *(Binding(str(n % 10), f"number({n})", show=False) for n in range(1, 11)),
    ]
    where = "case"
    about: ClassVar[str] = (
        "One truck. Above: may it be driven, what is held, where the oil comes out, what most likely failed. "
        "In the middle the next thing to look at: answer by its number. Below: what your last answer changed. "
        "Each answer is saved at once."
    )

    def __init__(self, sitting: "Sitting") -> None:
        super().__init__()
        self.sitting = sitting
        self.question: Question | None = None
        """What is asked now; None while it is being worked out."""
        self._turn = 0
        """Counts what was done: what comes late, for an earlier turn, is not shown."""

    def compose(self) -> ComposeResult:
        """Strip, question, what moved, bar."""
        yield Strip()
        yield QuestionBox()
        yield Moved(id="moved")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Show where the case stands, then ask on."""
        self.query_one(QuestionBox).wait()
        self.run_worker(self._open(), group="case")

    async def _open(self) -> None:
        now = await self.sitting.glance()
        self.query_one(Strip).show(now, self.sitting.practice)
        await self._ask_on(self._turn)

    # -- asking ------------------------------------------------------------------------------------------

    async def _ask_on(self, turn: int) -> None:
        """Work out what to ask, and ask it unless something else was done meanwhile."""
        question = await self.sitting.question()
        if turn != self._turn or not self.is_attached:
            return
        check, span = self.sitting.check_words(question)
        if turn == self._turn:
            self.question = question
            await self.query_one(QuestionBox).ask(question, check, span, skips=self.sitting.at_counter)

    @on(Answers.Given)
    def _given(self, event: Answers.Given) -> None:
        question = self.question
        if question is None:
            return
        if self.sitting.at_counter and event.line == UNSURE:
            self.sitting.skip()
            self.ask_anew()
        else:
            self.do(self.sitting.answer(question, event.line))

    def do(self, act: "Awaitable[Said]") -> None:
        """Do something to the case; other screens use this too. What it changed is shown, then it asks on."""
        self._turn += 1
        asked, self.question = self.question, None
        self.query_one(QuestionBox).wait()
        self.run_worker(self._do(act, asked, self._turn), group="case")

    async def _do(self, act: "Awaitable[Said]", asked: "Question | None", turn: int) -> None:
        said = await act
        if not self.is_attached:
            return
        self.query_one(Strip).show(said.glance, self.sitting.practice)
        self.query_one(Moved).show(said)
        if turn != self._turn:
            return
        if said.wrong and asked is not None:
            self.question = asked
            self._ask_again(asked)
        else:
            await self._ask_on(turn)

    def _ask_again(self, question: "Question") -> None:
        """The reply was not taken: the same question, with what was typed."""
        check, span = self.sitting.check_words(question)
        box = self.query_one(QuestionBox)
        box.head(check, span)
        box.answers.open_again(question)

    def ask_anew(self) -> None:
        """Something has changed elsewhere: ask what is to be asked now."""
        self._turn += 1
        self.question = None
        self.query_one(QuestionBox).wait()
        self.run_worker(self._ask_on(self._turn), group="case")

    # -- keys --------------------------------------------------------------------------------------------

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

    def action_leave(self) -> None:
        """Back to the cases; what was shown last is kept."""
        self.leakdx.run_worker(self.sitting.leave(), group="leave")
        super().action_leave()
