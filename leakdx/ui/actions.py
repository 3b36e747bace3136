"""Everything that can be done on a screen, in one table: its name, its keys, its words, where it goes.

Bindings, the bar at the foot, the list of keys and the help are made from it. A new thing to do is a row here and a
method ``action_NAME`` of its screen.
"""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from textual.binding import Binding, BindingType

Where = Literal[
    "anywhere",
    "home",
    "case",
    "text",
    "reasons",
    "causes",
    "ledger",
    "others",
    "saw",
    "paths",
    "repair",
    "nextshift",
    "tighten",
    "measure",
    "entry",
]
BAR_MOST = 6
"""Keys at the foot of a screen: more do not fit in 80 columns."""


class Action(NamedTuple):
    """One thing to do. ``keys``: the first is the one that is shown; ``bar``: stands at the foot of the screen."""

    name: str
    keys: str
    words: str
    help: str
    where: Where
    bar: bool = False

    @property
    def shown_key(self) -> str:
        """The key as it is printed."""
        key = self.keys.split(",")[0]
        return _PRINTED.get(key, key)


_PRINTED = {
    "question_mark": "?", "slash": "/", "escape": "Esc", "f1": "F1", "f2": "F2", "f3": "F3", "enter": "Enter",
    "backspace": "Backspace",
    "f4": "F4", "f6": "F6", "up": "Up", "down": "Down", "space": "Space", "ctrl+p": "Ctrl+P",
}  # fmt: skip

ACTIONS: tuple[Action, ...] = (
    Action("help", "f1", "Help", "What this screen is for and what its keys do.", "anywhere"),
    Action("keys", "k,ctrl+p", "Keys", "All that can be done here; type a few letters of it.", "anywhere", True),
    Action("look", "f2", "Dark or sunlight", "The dark screen, or the one for bright light.", "anywhere"),
    Action("leave", "q", "Leave", "One screen back, and from the first one out. Everything is saved.", "anywhere"),
    Action("back", "escape", "Back", "Out of a field, or one screen back.", "anywhere"),
    Action("begin", "n", "New case", "Begins a case: a few short questions; each may be skipped.", "home", True),
    Action("practise", "p", "Practice case", "A truck to play with; nothing of it is kept.", "home"),
    Action("find", "slash", "Find a case", "Shows only cases in which what is typed occurs.", "home", True),
    Action("everything", "a", "Closed ones too", "Lists closed cases as well, or only open ones.", "home", True),
    Action("why", "w", "Why", "Why this question, and why the answer is what it is.", "case", True),
    Action("undo", "u", "Undo", "Takes the last answer back; again: the one before.", "case", True),
    Action("put_back", "y", "Put back", "Lets what was taken back stand again.", "case"),
    Action(
        "saw",
        "s,slash",
        "Saw more",
        "Something else seen, told or done, by the trade's words.",
        "case",
        True,
    ),
    Action("measure", "m", "Measure", "Readings place by place on the map of the flange, and values.", "case"),
    Action("causes", "c", "Causes", "All causes with their chances, and what the last answer moved.", "case", True),
    Action("ledger", "l", "Ledger", "All that was answered; revise or withdraw any line.", "case", True),
    Action("others", "o", "Other checks", "Other checks that are worth their minutes, with reasons.", "case"),
    Action(
        "holds",
        "h",
        "Holds",
        "What must be written down before going on; may it be driven.",
        "case",
    ),
    Action("repair", "r", "Repair", "The best repairs side by side; then the chosen one, step by step.", "case"),
    Action("next_shift", "g", "Give over", "One page for whoever goes on: held, next, done, how it stands.", "case"),
    Action("note", "a", "Add a note", "Words of your own; nothing is concluded from them.", "case"),
    Action("whole", "v", "Whole answer", "All that leakdx diagnose writes: to read, copy or file.", "case"),
    Action(
        "pages", "p", "Page to hand over", "A PDF for the customer, the file, the bay, the trainer or the cab.", "case"
    ),
    Action("comeback", "b", "Came back", "It is wet again after a repair that closed the joint.", "case"),
    Action("units", "i", "Inch or metric", "Readings are asked in the other units; either may be typed.", "case"),
    Action("unsure", "question_mark", "Unsure", "Looked, and cannot tell.", "case"),
    Action("reach", "x", "Can't reach", "Not looked at; it is asked again once it can be reached.", "case"),
    Action("fitted", "n", "Not fitted", "There is none on this truck.", "case"),
    Action("fairly", "f", "Fairly sure", "The next answer is marked: seen, but not surely.", "case"),
    Action("rest_dry", "e", "Rest dry", "All places that are not marked were looked at and are dry.", "case"),
    Action("done", "d", "Done", "Writes down the places, or the work, that are marked.", "case"),
    Action("typed", "t", "Type it", "An answer as a line: 1 3 arc 5-7 rest dry, or 0.006 in with feeler 12.", "case"),
    Action("copy", "p", "Copy", "Sends the text to the terminal's clipboard.", "text", True),
    Action("file", "f", "To a file", "Writes the text to a new file.", "text", True),
    Action("against", "n", "Why not", "What stands against it, and what would speak for it.", "reasons", True),
    Action("try", "t", "What if", "An answer that is only tried: what would be otherwise.", "reasons", True),
    Action(
        "change", "c", "What would change it", "Answers that would unseat the cause or the repair.", "reasons", True
    ),
    Action("sure", "m", "How sure", "How far the answer hangs on numbers that people judged.", "reasons", True),
    Action("copy", "p", "Copy", "Sends the text to the terminal's clipboard.", "reasons"),
    Action("file", "f", "To a file", "Writes the text to a new file.", "reasons"),
    Action("why", "w", "Why", "Why the marked cause stands where it stands.", "causes", True),
    Action(
        "revise",
        "r",
        "Answer anew",
        "The marked line is asked again, for a new answer in its place.",
        "ledger",
        True,
    ),
    Action("withdraw", "x", "Withdraw", "Takes the marked line back; it stays in the ledger, marked.", "ledger", True),
    Action("put_back", "y", "Put back", "What was taken back last stands again.", "ledger", True),
    Action("why", "w", "Why", "What the marked line means and what hangs on it.", "ledger", True),
    Action("why", "w", "Why", "Why the marked check is worth its minutes.", "others", True),
    Action(
        "choose", "enter", "Decide", "Decides on the marked path, with the reason; 1, 2 or 3 does too.", "paths", True
    ),
    Action("why", "w", "Why", "Why the marked path, and why not another.", "paths", True),
    Action("barred", "x", "Barred", "All that rules forbid on this truck, each with its rule.", "paths", True),
    Action("tick", "d", "Done", "Ticks the marked step, or takes its tick back; Enter does so too.", "repair", True),
    Action("sign", "s", "Sign", "Signs the hold of the marked step by initials.", "repair", True),
    Action("recheck", "r", "Look again", "What a look after the repair has found: dry, damp or wet.", "repair", True),
    Action("outcome", "e", "Outcome", "How it ended; it closes the case.", "repair", True),
    Action("undo", "u", "Undo", "Takes back what was written last; again: what was before it.", "repair", True),
    Action("put_back", "y", "Put back", "Lets what was taken back stand again.", "repair"),
    Action("next_shift", "g", "Give over", "One page for whoever goes on: held, next, done, how it stands.", "repair"),
    Action(
        "state",
        "enter",
        "It is so",
        "The marked state is so, or no longer; its number too.",
        "nextshift",
        True,
    ),
    Action("note", "a", "Note", "Words for whoever goes on.", "nextshift", True),
    Action("copy", "p", "Copy", "Sends the page to the terminal's clipboard.", "nextshift", True),
    Action("file", "f", "To a file", "Writes the page to a new file.", "nextshift", True),
    Action("tighten", "o", "Order", "The ring in its order, fastener by fastener, pass by pass.", "repair"),
    Action("tight", "enter,space", "Tight, next", "The fastener that is due has come to its torque.", "tighten", True),
    Action("one_back", "backspace,u", "One back", "Back to the fastener before, within the pass.", "tighten", True),
    Action("sealant", "t", "Sealant and air", "The label's times and the shop's air, for the clocks.", "repair"),
    Action("holds", "h", "Holds", "What must be written down before going on; may it be driven.", "repair"),
    Action("choose", "c", "Other repair", "Decides anew; steps that both repairs have stay ticked.", "repair"),
    Action("ready", "v", "Have ready", "Tools and parts, what is never done, and the whole sheet.", "repair"),
    Action("before", "up", "Line before", "Goes back; what stands there can be corrected.", "entry", True),
    Action("after", "down", "Next line", "Goes on without a reading here; Enter does so too.", "entry"),
    Action("units", "f3,i", "Inch or metric", "A number without a unit is read in the other units.", "entry", True),
    Action("keep", "f4,s", "Write down", "Writes what was measured into the case.", "entry", True),
    Action("holds", "h", "Holds", "What must be written down before going on; may it be driven.", "entry"),
    Action("discard", "f6,x", "Throw away", "What is typed here and not written down is forgotten.", "entry"),
)


def actions_of(where: Where) -> tuple[Action, ...]:
    """What can be done on a screen of a kind, its own first."""
    own = tuple(action for action in ACTIONS if action.where == where)
    return own + tuple(action for action in ACTIONS if action.where == "anywhere" and where != "anywhere")


def bindings_of(where: Where) -> list[BindingType]:
    """The keys of a screen of a kind, apart from those that work anywhere."""
    return [binding for action in ACTIONS if action.where == where for binding in _bindings(action)]


def _bindings(action: Action) -> Iterator[Binding]:
    """One for each of its keys, shown as itself: the bar shows the first that acts where one is."""
    for key in action.keys.split(","):
        yield Binding(key, action.name, action.words, show=action.bar, key_display=_PRINTED.get(key, key))
