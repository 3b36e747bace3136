"""One page for the next shift; how the truck stands is said on it by one key each."""

from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Footer, OptionList
from textual.widgets.option_list import Option as Row

from leakdx.ui.actions import Where, bindings_of
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.widgets.plain import Plain, plain
from leakdx.ui.widgets.rows import Rows, still_there
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Callable

    from leakdx.interview.nextshift import StateNow
    from leakdx.ui.drafts import PageDraft
    from leakdx.ui.screens.case import CaseScreen

BOXES = {True: "[x]", False: "[ ]", None: "[?]"}


class NextShiftScreen(TextPage):
    """The page, and under it the states of the truck."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings_of("nextshift"),
        *(Binding(str(n), f"number({n})", show=False) for n in range(1, 10)),
    ]
    where: ClassVar[Where] = "nextshift"
    about: ClassVar[str] = (
        "What whoever goes on must know: what must not be done yet, what is held, what is next, what was done and "
        "seen. Below: how the truck stands; a number says that it is so, or no longer. a leaves words; p and f give "
        "the page away."
    )

    def __init__(self, case: "CaseScreen") -> None:
        super().__init__("For the next shift", self._text)
        self._case = case
        self._states: tuple[StateNow, ...] = ()
        self._whole = ""

    def compose(self) -> ComposeResult:
        """Title, page, states, bar."""
        yield TitleBar(self.title_text)
        with VerticalScroll(id="page"):
            yield Plain("...", id="text")
        yield Plain("How the truck stands: a number says it is so, or no longer", id="standing")
        yield Rows(markup=False, id="states")
        yield Footer(show_command_palette=False, compact=True)

    async def _text(self, width: int) -> str:
        """The page as it is shown; the states stand under it."""
        from leakdx.interview.nextshift import next_shift_text

        made = await self._case.sitting.next_shift()
        self._whole = next_shift_text(made, width)
        self._show_states(made.states)
        return next_shift_text(made, width, whole=False)

    def _show_states(self, states: "tuple[StateNow, ...]") -> None:
        if not self.is_alive:
            return
        rows = self.query_one("#states", OptionList)
        was, self._states = rows.highlighted, states
        rows.clear_options()
        rows.add_options([Row(_row(number, state)) for number, state in enumerate(states, start=1)])
        rows.highlighted = was or 0
        rows.focus()

    # -- the states --------------------------------------------------------------------------------------

    @on(OptionList.OptionSelected, "#states")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if still_there(event):
            self.action_number(event.option_index + 1)

    def action_state(self) -> None:
        """The marked state is so, or no longer."""
        at = self.query_one("#states", OptionList).highlighted
        if at is not None:
            self.action_number(at + 1)

    def action_number(self, number: int) -> None:
        """A state is so, or no longer."""
        if number <= len(self._states):
            self.one_at_a_time(self._turn, self._states[number - 1])

    async def _turn(self, state: "StateNow") -> None:
        sitting = self._case.sitting
        act = state.ends if state.is_on else state.begins
        if not act:
            words = state.off if state.is_on else state.on
            await self._put(lambda: sitting.repairing.state(words))
        elif await self._sure(act):
            await self._put(lambda: sitting.interview.did(act))

    async def _sure(self, act: str) -> bool:
        """Whether it was done: what stands against it is said first."""
        sitting = self._case.sitting
        against = await sitting.stood_before(act)
        asked = ConfirmScreen("\n".join(against), f"Was it done: {sitting.opening_name(act)}?")
        return await self.app.push_screen_wait(asked) or False

    async def _put(self, act: "Callable[[], tuple[str, ...]]") -> None:
        said = await self._case.write(self._case.sitting.do(act))
        if said.wrong:
            self.notify(said.wrong, title="Not taken", severity="error", markup=False)
        elif self.is_alive:
            self._show_states(await self._case.sitting.truck_states())
            self.show()

    # -- keys --------------------------------------------------------------------------------------------

    def action_note(self) -> None:
        """Words for whoever goes on."""

        def written(text: str | None) -> None:
            if text:
                self._note(text)

        self.app.push_screen(LineScreen("What should whoever goes on know?", draft=self._note_draft), written)

    @property
    def _note_draft(self) -> "PageDraft":
        return self._case.sitting.drafts.page("next shift", "words for the next shift (keys g, a)")

    @work(group="state")
    async def _note(self, text: str) -> None:
        from leakdx.interview.nextshift import FOR_NEXT

        note = self._case.sitting.interview.note
        await self._put(self._note_draft.written_by(lambda: note(f"{FOR_NEXT}{text}")))

    @property
    def given(self) -> str:
        """What is copied or written to a file: the page with the states."""
        return self._whole or self.text


def _row(number: int, state: "StateNow") -> Content:
    return plain(f"{number:>2}  {BOXES[state.is_on]} ", "bold") + plain(state.words)
