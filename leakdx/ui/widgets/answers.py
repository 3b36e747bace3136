"""The answers to one question: outcomes by number, the places that are marked, or a line that is typed."""

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option as Row

from leakdx.ui.widgets.field import Field
from leakdx.ui.widgets.plain import plain
from leakdx.ui.widgets.rows import still_there

if TYPE_CHECKING:
    from leakdx.interview.question import Option, Question

MARKED, TYPED = ("places", "repair"), ("text", "reading")
"""Kinds of question that are answered by marking several things, and by a line."""
_NEXT_MARK = {"": "wet", "wet": "dry", "dry": ""}
_BOXES = {"": "[   ]", "wet": "[WET]", "dry": "[dry]", "done": "[ x ]"}
_NOTHING: dict[str, tuple[tuple[str, str], ...]] = {
    "text": (("unsure", "not known"),),
    "axle": (("unsure", "not known"),),
    "complaint": (("unsure", "not known"),),
    "history": (("unsure", "nobody knows"),),
    "sign": (("unsure", "unsure"), ("reach", "can't reach"), ("fitted", "not fitted"), ("fairly", "fairly sure")),
    "reading": (("unsure", "cannot tell"), ("reach", "can't reach")),
    "places": (
        ("done", "done"), ("rest_dry", "rest dry"), ("unsure", "unsure"), ("reach", "can't reach"),
        ("fairly", "fairly sure"),
    ),
    "repair": (("repair", "choose it and work it step by step"), ("done", "write down what is marked")),
    "end": (("repair", "the repair"),),
}  # fmt: skip
"""Kind of question -> (action, words) of the keys beside the outcomes."""
_HINTS = {
    "text": "a few words, then Enter; Esc: back to the keys",
    "reading": "value and unit, such as 0.006 {unit}; with the tool: 0.006 {unit} with feeler 12",
    "places": "1 3 arc 5-7 dry 2, or rest dry",
}
SKIP = (("unsure", "skip"),)


def keys_beside(question: "Question", *, skips: bool) -> tuple[tuple[str, str], ...]:
    """The keys that answer a question besides its outcomes; ``skips``: it may simply be skipped."""
    return SKIP if skips else _NOTHING.get(question.kind, ())


class Answers(Vertical):
    """The answers. Each is sent on as the line that ``leakdx ask`` would take."""

    class Given(Message):
        """An answer was given."""

        def __init__(self, line: str) -> None:
            super().__init__()
            self.line = line

    def __init__(self) -> None:
        super().__init__()
        self._question: Question | None = None
        self._marks: dict[int, str] = {}
        self._is_fairly = False

    def compose(self) -> ComposeResult:
        """Outcomes and a field."""
        yield OptionList(markup=False, id="outcomes")
        yield Field(id="line", select_on_focus=False)

    @property
    def is_open(self) -> bool:
        """Whether a question waits for its answer."""
        return self._question is not None

    def ask(self, question: "Question", half: str = "") -> None:
        """Offer the answers to a question; ``half``: what stands half typed of one."""
        self._question, self._marks, self._is_fairly = question, {}, False
        outcomes, line = self.query_one("#outcomes", OptionList), self.query_one("#line", Input)
        outcomes.clear_options()
        outcomes.add_options([Row(self._row(number)) for number in self._numbers()])
        outcomes.highlighted = None
        outcomes.display = bool(question.options)
        line.value, line.placeholder = half, _HINTS.get(question.kind, "a number or a word").format(unit=question.unit)
        line.cursor_position = len(half)
        line.display = bool(half) or question.kind in TYPED
        (line if question.kind in TYPED else outcomes if outcomes.display else self).focus()

    def close(self) -> None:
        """Take no answer until the next question; what is shown stays where it is."""
        self._question = None

    def open_again(self, question: "Question") -> None:
        """The answer was not taken: what was typed or marked still stands."""
        self._question = question
        line = self.query_one("#line", Input)
        (line if line.display else self.query_one("#outcomes", OptionList)).focus()

    # -- keys --------------------------------------------------------------------------------------------

    def number(self, number: int) -> None:
        """A number key: that outcome, or the next mark of that place."""
        question = self._question
        if question is None or number not in self._numbers():
            return
        if question.kind in MARKED:
            self._mark(number)
        else:
            self._give(str(number))

    def nothing(self, line: str) -> None:
        """Unsure, can't reach or not fitted; what goes with the kind of question only."""
        if self._question is not None:
            self._give(line, sure=True)

    def toggle_fairly(self) -> None:
        """The next outcome is marked as fairly sure, or no longer."""
        if self._question is not None and self._question.kind in ("sign", "places"):
            self._is_fairly = not self._is_fairly
            self.set_class(self._is_fairly, "fairly")
            self.refresh()

    @property
    def is_fairly(self) -> bool:
        """Whether the next outcome is only fairly sure."""
        return self._is_fairly

    def done(self, *, rest_dry: bool = False) -> None:
        """Send what is marked."""
        question = self._question
        if question is None or question.kind not in MARKED:
            return
        wet, dry = ([str(n) for n, mark in self._marks.items() if mark == kind] for kind in ("wet", "dry"))
        marked = [str(n) for n, mark in self._marks.items() if mark == "done"]
        dry_part = ["dry", *dry] if dry else []
        rest = ["rest", "dry"] if rest_dry and question.kind == "places" else []
        self._give(" ".join([*wet, *marked, *dry_part, *rest]))

    def type_it(self) -> None:
        """A field for the answer as a line."""
        if self._question is not None:
            line = self.query_one("#line", Input)
            line.display = True
            line.focus()

    # -- what happens ------------------------------------------------------------------------------------

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        numbers = self._numbers()
        if still_there(event) and event.option_index < len(numbers):
            self.number(numbers[event.option_index])

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        if self._question is not None and event.value.strip():
            self._give(event.value, sure=True)

    def _give(self, line: str, *, sure: bool = False) -> None:
        self.post_message(self.Given(line if sure or not self._is_fairly else f"{line} ~"))

    def _mark(self, number: int) -> None:
        assert self._question is not None
        was = self._marks.get(number, "")
        self._marks[number] = _NEXT_MARK[was] if self._question.kind == "places" else "" if was else "done"
        outcomes = self.query_one("#outcomes", OptionList)
        at = self._numbers().index(number)
        outcomes.replace_option_prompt_at_index(at, self._row(number))
        outcomes.highlighted = at

    def _numbers(self) -> list[int]:
        return list(self._options())

    def _options(self) -> "dict[int, Option]":
        from leakdx.interview.question import numbered  # a question has come, so it is loaded

        return numbered(self._question.options) if self._question is not None else {}

    def _row(self, number: int) -> Content:
        assert self._question is not None
        box = f"{_BOXES[self._marks.get(number, '')]} " if self._question.kind in MARKED else ""
        return plain(f"{number:>2}", "bold") + plain(f"  {box}{self._options()[number].name}")
