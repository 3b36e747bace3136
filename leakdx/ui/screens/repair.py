"""The repair that was decided on: steps to tick, holds to sign, then looked at again and closed."""

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import Footer
from textual.widgets.option_list import Option as Row

from leakdx.errors import LeakdxError
from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.listpage import ListPage
from leakdx.ui.screens.pick import PickScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.screens.tighten import TightenScreen
from leakdx.ui.widgets.clockline import ClockLine
from leakdx.ui.widgets.plain import Plain, lines, plain
from leakdx.ui.widgets.rows import Rows
from leakdx.ui.widgets.safetyline import SafetyLine
from leakdx.ui.widgets.steprow import step_in_full, step_row
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Callable

    from leakdx.explain.course import Course, CourseStep
    from leakdx.ui.drafts import PageDraft
    from leakdx.ui.screens.case import CaseScreen

LABEL = "open 10 min, fill 2 h, load 24 h, air 50 degF, humidity 40"
RECHECK, OUTCOME = "recheck", "outcome"
FOUND = (("dry", "dry"), ("damp", "damp"), ("wet", "wet"))
ENDS = (("held", "it held"), ("not held", "it did not hold"), ("not known", "not known"))
INITIALS = "Initials of who looked; words behind them go on file: AB wrench 4"
WHEN = "When, or after how far? Such as: after 500 miles, hot"
CLOSING = "Enter: how did it end? It closes the case; a closed case can be opened again."
WET_AGAIN = "Wet after the repair: on the case, key b (came back) begins the search anew."


class RepairScreen(ListPage):
    """Steps in their order of work, the marked one in full beside or below."""

    BINDINGS = bindings_of("repair")
    where = "repair"
    about: ClassVar[str] = (
        "The repair, step by step. Enter ticks the marked step; where it ends in a HOLD, the initials of who looked "
        "are asked, and nothing after it can be ticked until it is signed. Each tick is saved at once. After the last "
        "step: look again, write down what was found, and close the case."
    )

    def __init__(self, case: "CaseScreen", course: "Course") -> None:
        super().__init__()
        self._case, self.course = case, course
        """How far it is, as it is shown."""
        self._lines: list[CourseStep | str | None] = []
        """What stands on each row; None for a title."""

    def compose(self) -> ComposeResult:
        """Title, steps, the marked one in full, bar."""
        yield TitleBar()
        yield SafetyLine(id="safety")
        yield ClockLine(self._case.sitting.clocks)
        with Container(id="split"):
            yield Rows(markup=False, id="rows")
            with VerticalScroll(id="full", can_focus=False):
                yield Plain(id="details")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Everything needed is there."""
        self._fill()
        self._mark_next()
        self.rows.focus()

    # -- what stands there -------------------------------------------------------------------------------

    def _fill(self) -> None:
        course, was = self.course, self.marked
        over = len(course.steps) - len(course.left)
        self.query_one("#title", Plain).say(f"Repair, {over} of {len(course.steps)} steps done: {course.decided.text}")
        if self._case.now is not None:
            self.query_one(SafetyLine).show(self._case.now)
        self._lines, rows = [], list[Row]()
        for number, (title, steps) in enumerate(course.parts, start=1):
            rows.append(Row(plain(f"{number}  {title}", "bold"), disabled=True))
            rows += (Row(step_row(step)) for step in steps)
            self._lines += [None, *steps]
        rows.append(Row(plain("Afterwards", "bold"), disabled=True))
        rows += (Row(row) for row in (_recheck_row(course), _outcome_row(course)))
        self._lines += [None, RECHECK, OUTCOME]
        self.rows.clear_options()
        self.rows.add_options(rows)
        self.rows.highlighted = was

    def _mark_next(self) -> None:
        """Mark what is to be done next."""
        mine = self.course.next
        wanted = mine if mine is not None else OUTCOME if self.course.rechecks else RECHECK
        self.rows.highlighted = self._lines.index(wanted)

    def details(self, at: int) -> Content:
        """The marked step in full."""
        line = self._lines[at]
        self.query_one("#full", VerticalScroll).scroll_home(animate=False)
        if line is None or isinstance(line, str):
            return _recheck_in_full(self.course) if line == RECHECK else plain(CLOSING if line else "")
        return step_in_full(self.course, line)

    def choose(self, at: int) -> None:
        """Tick it, or what else its row is for."""
        line = self._lines[at]
        if isinstance(line, str):
            self.one_at_a_time(self._recheck if line == RECHECK else self._outcome)
        elif line is not None:
            self.one_at_a_time(self._tick, line)

    def _step(self) -> "CourseStep | None":
        line = self._lines[self.marked] if self.marked is not None else None
        return None if line is None or isinstance(line, str) else line

    # -- one thing at a time ------------------------------------------------------------------------------

    async def _write(self, act: "Callable[[], tuple[str, ...]]") -> bool:
        """Write something down and show what came of it; whether it was taken."""
        said = await self._case.write(self._case.sitting.do(act))
        if said.wrong:
            self.notify(said.wrong, title="Not taken", severity="error", markup=False)
            return False
        course = await self._case.sitting.course()
        if not self.is_alive:
            return False
        if course is None:
            self._leave_for_paths()
            return False
        self.course = course
        self._fill()
        self.query_one(ClockLine).read()
        return True

    def _draft(self, page: str, title: str) -> "PageDraft":
        return self._case.sitting.drafts.page(page, title)

    def _leave_for_paths(self) -> None:
        """The decision was taken back: choose again."""
        from leakdx.ui.screens.paths import PathsScreen  # the two lead to each other

        if self.app.screen is self:  # else it was left meanwhile, or something stands over it
            self.app.switch_screen(PathsScreen(self._case))

    async def _tick(self, step: "CourseStep") -> None:
        repairing = self._case.sitting.repairing
        if step.done is not None:
            again = ConfirmScreen(step.step.do, f"Take step {step.number} back?", "yes, take it back")
            if await self.app.push_screen_wait(again):
                await self._write(lambda: repairing.untick(step.number))
            return
        if not await self._pass(step) or not await self._write(lambda: repairing.tick(step.number)):
            return
        if step.holds:
            await self._signed(step)
        self._mark_next()

    async def _pass(self, step: "CourseStep") -> bool:
        """Whether it may go on: what holds and rules have against it is said first."""
        if self.course.barrier(step.number) is not None:
            return True  # it is refused with its reason when it is written
        against = await self._case.sitting.stands_before(step.number)
        warned = ConfirmScreen("\n".join(against), f"Was it done: {step.step.do}")
        return not against or await self.app.push_screen_wait(warned)

    async def _signed(self, step: "CourseStep") -> None:
        repairing = self._case.sitting.repairing
        draft = self._draft(f"sign {step.number}", f"initials at the hold of step {step.number} (keys r, s)")
        signature = await self.app.push_screen_wait(LineScreen(f"HOLD: {step.step.hold}", INITIALS, draft=draft))
        if signature:
            await self._write(draft.written_by(lambda: repairing.sign(step.number, signature)))

    async def _sign(self, step: "CourseStep") -> None:
        await self._signed(step)
        self._mark_next()

    async def _recheck(self) -> None:
        found = await self.app.push_screen_wait(PickScreen("Looked at again after the repair: what was found?", FOUND))
        if found is None:
            return
        draft = self._draft("recheck", "a look after the repair (keys r, r)")
        words = await self.app.push_screen_wait(LineScreen(WHEN, draft=draft))
        repairing = self._case.sitting.repairing
        if words and await self._write(draft.written_by(lambda: repairing.recheck(found, words))):
            self._mark_next()
            if found == FOUND[-1][0]:
                self.notify(WET_AGAIN, markup=False)

    async def _outcome(self) -> None:
        sitting = self._case.sitting
        outcome = await self.app.push_screen_wait(PickScreen("How did it end? It closes the case.", ENDS))
        if outcome is None:
            return
        against = await sitting.stands_against_closing(outcome)
        close = ConfirmScreen("\n".join(against), "Close it all the same?", "yes, close it")
        if not against or await self.app.push_screen_wait(close):
            await self._write(lambda: sitting.repairing.close(outcome))

    # -- keys --------------------------------------------------------------------------------------------

    def action_tick(self) -> None:
        """Tick the marked step."""
        if self.marked is not None:
            self.choose(self.marked)

    def action_sign(self) -> None:
        """Sign the hold of the marked step."""
        step = self._step()
        if step is not None and step.step.hold:
            self.one_at_a_time(self._sign, step)
        else:
            self.notify("There is no hold at this step.", markup=False)

    def action_recheck(self) -> None:
        """What a look after the repair has found."""
        self.one_at_a_time(self._recheck)

    def action_outcome(self) -> None:
        """How it ended."""
        self.one_at_a_time(self._outcome)

    def action_undo(self) -> None:
        """Take back what was written last."""
        self.one_at_a_time(self._write, self._case.sitting.interview.undo)

    def action_put_back(self) -> None:
        """Let what was taken back stand again."""
        self.one_at_a_time(self._write, self._case.sitting.interview.put_back)

    def action_choose(self) -> None:
        """Decide anew."""
        self._leave_for_paths()

    def action_next_shift(self) -> None:
        """One page for the next shift."""
        self._case.action_next_shift()

    def action_tighten(self) -> None:
        """The ring in its order."""
        self.one_at_a_time(self._tighten)

    async def _tighten(self) -> None:
        from leakdx.explain.fastening import EXAMPLE

        sitting = self._case.sitting
        try:
            asked = "How many fasteners, and which are at dowels? Clockwise from 1 at the top, seen from the pinion."
            draft = self._draft("ring", "the fasteners of the ring (keys r, o)")
            usual = await sitting.usual_ring()
            typed = await self.app.push_screen_wait(LineScreen(asked, f"Such as: {EXAMPLE}", usual, draft))
            if typed:
                self.app.push_screen(TightenScreen(self._case, *await sitting.ring(typed)))
                draft.drop()
        except LeakdxError as error:
            self.notify(str(error), title="Not taken", severity="error", markup=False)

    def action_sealant(self) -> None:
        """What the label and the shop's air say."""
        self.one_at_a_time(self._sealant)

    async def _sealant(self) -> None:
        asked = "What does the sealant's label say, and how warm is the shop? What is not known is left out."
        draft = self._draft("sealant", "the sealant's label (keys r, t)")
        said = await self.app.push_screen_wait(LineScreen(asked, f"Such as: {LABEL}", draft=draft))
        if said:
            await self._write(draft.written_by(lambda: self._case.sitting.repairing.sealant(said)))

    def action_holds(self) -> None:
        """Fit to drive, and all that is held."""
        self._case.action_holds()

    def action_ready(self) -> None:
        """Tools and parts, and the whole sheet."""
        actions = self.course.actions
        self.app.push_screen(TextPage("The job", lambda width: self._case.sitting.job(actions, width)))


def _recheck_row(course: "Course") -> Content:
    if not course.rechecks:
        return plain("[ ] Look again, and write down what was found")
    last = course.rechecks[-1]
    return plain(f"[x] Looked at again {len(course.rechecks)} x, last: {last.text}, {last.note}")


def _outcome_row(course: "Course") -> Content:
    return plain(f"[x] Closed: {course.closed}" if course.closed else "[ ] Outcome: how did it end?")


def _recheck_in_full(course: "Course") -> Content:
    from leakdx.interview.readback import signed_by  # a step has come, so it is loaded

    return lines(
        *(plain("Look: ", "bold") + plain(text) for text in course.rechecks_due),
        *(plain("Found: ", "bold") + plain(f"{e.text}, {e.note} ({signed_by(e)})") for e in course.rechecks),
        plain("Enter: write down what was found."),
    )
