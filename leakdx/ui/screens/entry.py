"""A measurement as it is typed: one line after the other, the map of the flange beside, what it comes to below."""

from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Footer, Input, OptionList
from textual.widgets.option_list import Option as Row

from leakdx.errors import LeakdxError
from leakdx.ui.actions import bindings_of
from leakdx.ui.drafts import LEFT
from leakdx.ui.screens.base import FieldPage
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.widgets.entryfield import EntryField
from leakdx.ui.widgets.flangeview import FlangeView
from leakdx.ui.widgets.plain import Plain, lines, plain
from leakdx.ui.widgets.rows import Rows, still_there
from leakdx.ui.widgets.safetyline import SafetyLine
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Mapping

    from leakdx.interview.measuring.form import Form, SoFar
    from leakdx.interview.measuring.line import Line
    from leakdx.ui.screens.case import CaseScreen

ALL_TYPED = "All lines are done. Enter writes it down; Up goes back to correct."


class EntryScreen(FieldPage):
    """One measurement. What is typed is kept letter by letter, and is there again when one comes back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings_of("entry"),
        Binding("enter", "into", "To the field", show=False),
    ]
    where = "entry"
    about: ClassVar[str] = (
        "Readings, one after the other. Type a number and press Enter: it goes to the next place; an empty line is "
        "left out. Up goes back. A unit may be typed behind any number; without one it is read in the units that stand "
        "at the field. 4:30=0.006 reads another place, or the same one again. Below stands what it comes to so far. "
        "Esc leaves the field, so that letters are keys; once more goes back to the case, and what is typed stays."
    )

    def __init__(
        self,
        case: "CaseScreen",
        form: "Form",
        cautions: tuple[str, ...],
        needs: tuple[str, ...],
    ) -> None:
        super().__init__()
        self._case, self._form, self._cautions, self._needs = case, form, cautions, needs
        self._measuring = case.sitting.measuring
        self._draft = self._measuring.draft(form)
        self.typed: Mapping[str, str] = form.begun()
        """Line -> what stands there."""
        self._lines: tuple[Line, ...] = ()
        self._at = 0
        """The line that is typed; behind the last one: all are done."""
        self._is_written = False

    def compose(self) -> ComposeResult:
        """Title, cautions, map and lines, the field, what it comes to, bar."""
        yield TitleBar(self._form.title)
        yield SafetyLine(id="safety")
        yield Plain(id="beware")
        with Horizontal(id="middle"):
            yield FlangeView(id="map")
            with Vertical(id="side"):
                rows = Rows(markup=False, id="lines")
                rows.can_focus = False
                yield rows
                yield Plain(id="legend")
        yield Plain(id="asked")
        yield EntryField(id="entry", select_on_focus=False)
        yield Plain(id="found")
        yield Footer(show_command_palette=False, compact=True)

    @property
    def field(self) -> Input:
        """Where it is typed."""
        return self.query_one("#entry", Input)

    def on_mount(self) -> None:
        """Begin at the first line; what was left half typed stands as it stood."""
        left = self._draft.left
        begun = self._form.begun()
        self.typed = self._form.still(left.typed) or begun if left else begun
        self._lines = self._form.lines(self.typed)
        self._at = self._place_of(left.line) if left else 0
        self.query_one("#title", Plain).say(f"{LEFT}: {self._form.title}" if left else self._form.title)
        self._say_beware()
        self._show_line(left.field if left else "")
        self.field.focus()

    def _place_of(self, name: str) -> int:
        """The place of a line by its name; empty: all were done."""
        names = [line.name for line in self._lines]
        return names.index(name) if name in names else 0 if name else len(names)

    def _say_beware(self) -> None:
        if self._case.now is not None:
            self.query_one(SafetyLine).show(self._case.now)
        needs = [f"Needs first: {', '.join(self._needs)} (what was done: key s on the case)"] if self._needs else []
        said = "\n".join([*(f"CAUTION: {caution}" for caution in self._cautions), *needs])
        beware = self.query_one("#beware", Plain)
        beware.display = bool(said)
        beware.say(said)

    # -- the line that is typed --------------------------------------------------------------------------

    @property
    def line(self) -> "Line | None":
        """The line that is typed; None where all are done."""
        return self._lines[self._at] if self._at < len(self._lines) else None

    def _show_line(self, half: str = "") -> None:
        """Show the line that is typed, and everything that goes with it; ``half``: what stands half typed on it."""
        line = self.line
        self.query_one("#asked", Plain).say(_asked(line) if line else plain(ALL_TYPED, "bold"))
        self.field.value = half or (self.typed.get(line.name, "") if line else "")
        self.field.cursor_position = len(self.field.value)
        self.field.placeholder = self._placeholder(line)
        self._show_rows()
        self._look()

    def _placeholder(self, line: "Line | None") -> str:
        if line is None:
            return ""
        unit = line.unit(self._measuring.system)
        usual = f"left empty: {line.shown(line.usual)}" if line.usual else ""
        return " ".join(part for part in (f"unit, if none is typed: {unit}" if unit else "", usual) if part)

    def _show_rows(self) -> None:
        rows = self.query_one("#lines", OptionList)
        rows.clear_options()
        rows.add_options([Row(self._row(line)) for line in self._lines])
        rows.highlighted = self._at if self.line else None
        if self.line is None:
            rows.scroll_end(animate=False)

    def _row(self, line: "Line") -> Content:
        kept = self.typed.get(line.name)
        shown = (
            line.shown(kept)
            if kept
            else f"({line.shown(line.usual)})"
            if line.usual
            else "needed"
            if line.needed
            else ""
        )
        return plain(f"{line.label:<12} ") + plain(shown, "bold" if kept else "")

    @on(Input.Submitted, "#entry")
    def _taken(self, event: Input.Submitted) -> None:
        event.stop()
        line = self.line
        if line is None:
            self.action_keep()
        elif self._take(line):
            self._go(line.name, 1)

    def _take(self, line: "Line") -> bool:
        """Take what stands in the field; where it cannot be, say why and leave it there."""
        try:
            self.typed = self._measuring.put(self._form, self.typed, line, self.field.value)
        except LeakdxError as error:
            self._say_wrong(str(error))
            return False
        self._keep_draft()
        return True

    def _keep_draft(self) -> None:
        """Keep what stands here, letter by letter."""
        if self._is_written:
            return
        line = self.line
        name = line.name if line else ""
        field = self.field.value
        half = "" if field == self.typed.get(name, "") else field
        taken = {} if self.typed == self._form.begun() else self.typed
        self._draft.keep(half, typed=taken, line=name)

    def _go(self, name: str, step: int) -> None:
        """So many lines on from one, of those that are asked now."""
        self._lines = self._form.lines(self.typed)
        names = [line.name for line in self._lines]
        at = names.index(name) if name in names else self._at
        self._at = min(max(at + step, 0), len(names))
        self._show_line()

    @on(OptionList.OptionSelected, "#lines")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if still_there(event):
            self._jump(event.option_index)

    @on(FlangeView.Chosen)
    def _chosen_on_map(self, event: FlangeView.Chosen) -> None:
        names = [line.name for line in self._lines]
        if event.name in names:
            self._jump(names.index(event.name))

    def _jump(self, at: int) -> None:
        """To a line, with what stands in the field taken first."""
        line = self.line
        if line is not None and not self._take(line):
            return
        self._at = at
        self._lines = self._form.lines(self.typed)
        self._at = min(at, len(self._lines))
        self._show_line()
        self.field.focus()

    # -- what it comes to --------------------------------------------------------------------------------

    @on(Input.Changed, "#entry")
    def _changed(self) -> None:
        self._keep_draft()
        self._look()

    @work(group="found", exclusive=True)
    async def _look(self) -> None:
        """Work out on the bench what the readings come to, with what stands in the field where it can be read."""
        typed = self._with_field()
        found = await self._measuring.so_far(self._form, typed)
        if not self.is_alive:
            return
        drawn = self._form.drawn(typed, found)
        line = self.line
        self.query_one(FlangeView).show(drawn, line.name.partition("#")[0] if line else "")
        marks = {spot.mark for spot in drawn.spots} | {stretch.mark for stretch in drawn.stretches}
        self.query_one("#legend", Plain).say(_legend(marks, drawn.words))
        self._say_found(found)

    def _with_field(self) -> "Mapping[str, str]":
        line = self.line
        if line is None:
            return self.typed
        try:
            return self._measuring.put(self._form, self.typed, line, self.field.value)
        except LeakdxError:
            return self.typed

    def _say_found(self, found: "SoFar") -> None:
        below = self.query_one("#found", Plain)
        below.remove_class("wrong")
        if found.wrong:
            below.say(f"So far: {found.wrong}")
        else:
            below.say(lines(*(plain(said, "" if at else "bold") for at, said in enumerate(found.said))))

    def _say_wrong(self, sentence: str) -> None:
        self.workers.cancel_group(self, "found")
        below = self.query_one("#found", Plain)
        below.add_class("wrong")
        below.say(f"Not taken: {sentence}")

    # -- keys --------------------------------------------------------------------------------------------

    def action_into(self) -> None:
        """Into the field again."""
        self.field.focus()

    def action_before(self) -> None:
        """The line before."""
        self._step(-1)

    def action_after(self) -> None:
        """The next line."""
        self._step(1)

    def _step(self, step: int) -> None:
        line = self.line
        if line is None:
            self._at = len(self._lines) + min(step, 0)
            self._show_line()
        elif self._take(line):
            self._go(line.name, step)
        self.field.focus()

    def action_units(self) -> None:
        """The other units for what has none typed."""
        self._case.sitting.switch_units()
        self.field.placeholder = self._placeholder(self.line)
        self.notify(f"A number without a unit is read as {self._measuring.system} from here on.", markup=False)
        self._look()

    @work(group="keep", exclusive=True)
    async def action_keep(self) -> None:
        """Write it down."""
        line = self.line
        if self._is_written or (line is not None and not self._take(line)):
            return
        self._is_written = True
        said = await self._case.write(self._measuring.write(self._form, self.typed))
        self._is_written = not said.wrong
        if not self.is_alive:
            return
        if said.wrong:
            self._say_wrong(said.wrong)
        else:
            self.dismiss()

    @work(group="discard", exclusive=True)
    async def action_discard(self) -> None:
        """Forget what is typed."""
        asked = "What is typed here and not written down is forgotten."
        if await self.app.push_screen_wait(ConfirmScreen(asked, "Throw it away?", yes="yes, forget it")):
            self._draft.drop()
            self.on_mount()

    def action_holds(self) -> None:
        """Fit to drive, and all that is held."""
        self._case.action_holds()

    def action_leave(self) -> None:
        """Back to the case; what is typed stays with it."""
        self._keep_draft()
        super().action_leave()


def _asked(line: "Line") -> Content:
    """What is to be typed, and the choices."""
    asked = plain(line.asked, "bold")
    return asked + plain(f"  {line.offered}") if line.choices else asked


def _legend(marks: set[str], words: "Mapping[str, str]") -> str:
    from leakdx.diagrams.flangemap import legend

    return f"{legend(marks, words)}  12 on top, seen from the pinion"
