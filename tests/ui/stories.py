"""A shipped case as a story: what whoever answers would say, whatever is asked, by keyboard or by mouse."""

from pathlib import Path

from textual.widgets import OptionList

from leakdx.case import Case, Done, Observation, PlacesSeen, Reading, Told
from leakdx.interview.question import NO, YES, Question, numbered
from leakdx.knowledge.place_signs import wet_sign
from leakdx.store.casefile import read_case
from leakdx.ui.screens.case import CaseScreen
from leakdx.ui.widgets.keylabel import KeyLabel
from tests.shipped import FILES, knowledge
from tests.ui.driven import Hand, asks, until

MOST_ASKED = 100
TWELVE = tuple(file.stem for file in FILES[:12])
FOUR = tuple(name for name in TWELVE if name[:2] in ("03", "04", "05", "10"))
"""Those with the fewest questions."""


class Story:
    """What one truck is like. What its case does not say, nobody knows."""

    def __init__(self, name: str) -> None:
        case = read_case(_file(name), knowledge())
        self.case = case
        self.wet, self.dry = _places(case)
        self.answers = _answers(case)
        self.done = {entry.act for entry in case.standing if isinstance(entry, Done)}

    def line(self, question: Question) -> str:
        """The answer as a number, "?" where nobody knows, or the line to type."""
        numbers = {option.id: number for number, option in numbered(question.options).items()}
        match question.kind:
            case "text":
                return self.case.unit or "?"
            case "axle" | "complaint":
                return str(numbers.get(self.case.axle or "" if question.kind == "axle" else self.case.complaint, "?"))
            case "act":
                return str(numbers[YES if question.id in self.done else NO])
            case "reading":
                return self.answers.get(question.id, "?")
            case _:
                return str(numbers.get(self.answers.get(question.id, ""), "?"))

    def marks(self, question: Question) -> dict[int, int]:
        """Place by number -> how often it is touched: once for wet, twice for dry."""
        touched = {}
        for number, option in numbered(question.options).items():
            if option.id in self.wet or option.id in self.dry:
                touched[number] = 1 if option.id in self.wet else 2
        return touched


async def by_keys(pilot: Hand, story: Story, question: Question) -> None:
    """Answer by keys."""
    if question.kind == "places":
        marks = story.marks(question)
        for number, times in marks.items():
            if number <= 10:
                await pilot.press(*([str(number % 10)] * times))
        await pilot.press("d" if any(n <= 10 for n in marks) else "question_mark")
        return
    line = story.line(question)
    if question.kind in ("text", "reading"):
        await pilot.press(*line, "enter")
    elif line == "?":
        await pilot.press("question_mark")
    else:
        await pilot.press(str(int(line) % 10))


async def by_mouse(pilot: Hand, story: Story, question: Question) -> None:
    """Answer by clicks alone; what only a keyboard can say is not known."""
    screen = await asks(pilot)
    numbers = list(numbered(question.options))
    if question.kind == "places":
        marks = story.marks(question)
        for number, times in marks.items():
            for _ in range(times):
                await click_row(pilot, screen, numbers.index(number))
        await click_key(pilot, "done" if marks else "unsure")
        return
    line = story.line(question)
    if line == "?" or question.kind in ("text", "reading"):
        await click_key(pilot, "unsure")
    else:
        await click_row(pilot, screen, numbers.index(int(line)))


async def click_row(pilot: Hand, screen: CaseScreen, at: int) -> None:
    """Click one outcome, scrolled to where it can be seen."""
    outcomes = screen.query_one("#outcomes", OptionList)
    top = round(outcomes.scroll_y)
    if not top <= at < top + outcomes.size.height:
        outcomes.scroll_to(y=at, animate=False)  # what a wheel does
        await until(pilot, lambda: round(outcomes.scroll_y) <= at < round(outcomes.scroll_y) + outcomes.size.height)
    await pilot.click(outcomes, offset=(6, at - round(outcomes.scroll_y)))


async def click_key(pilot: Hand, action: str) -> None:
    """Click one of the keys beside the outcomes."""
    screen = await asks(pilot)
    (label,) = (label for label in screen.query(KeyLabel) if label.action == action)
    await pilot.click(label)


async def told(pilot: Hand, story: Story, *, mouse: bool) -> list[str]:
    """Answer whatever is asked until there is nothing more to look at; the questions that were asked."""
    asked: list[str] = []
    while len(asked) < MOST_ASKED:
        screen = await asks(pilot)
        question = screen.question
        assert question is not None
        if question.kind in ("repair", "end"):
            return asked
        asked.append(question.id)
        turn = screen.turn
        await (by_mouse if mouse else by_keys)(pilot, story, question)
        await until(pilot, lambda screen=screen, turn=turn: screen.turn != turn)  # type: ignore[misc]
        assert not screen.query_one("#moved").has_class("wrong"), (question.id, story.line(question))
    raise AssertionError(f"no end after {MOST_ASKED} questions")


def _file(name: str) -> Path:
    return next(file for file in FILES if file.stem == name)


def _places(case: Case) -> tuple[set[str], set[str]]:
    looks = [entry for entry in case.standing if isinstance(entry, PlacesSeen)]
    wet = {place for look in looks for place in look.wet}
    return wet, {place for look in looks for place in look.dry} - wet


def _answers(case: Case) -> dict[str, str]:
    """Sign or group -> what was first said of it."""
    said: dict[str, str] = {}
    for entry in case.standing:
        match entry:
            case Observation():
                said.setdefault(entry.sign, entry.answer)
            case Told():
                said.setdefault(entry.group, entry.answer)
            case Reading():
                said.setdefault(entry.sign, f"{entry.value} {entry.unit}")
            case PlacesSeen():
                said.update({wet_sign(place): "yes" for place in entry.wet})
            case _:
                pass
    return said
