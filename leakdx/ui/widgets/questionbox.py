"""The one big thing: what to look at next, why now and how, and its answers in the same place every time."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content

from leakdx.ui.widgets.answers import Answers, keys_beside
from leakdx.ui.widgets.keylabel import KeyRow
from leakdx.ui.widgets.plain import Plain, lines, plain

if TYPE_CHECKING:
    from leakdx.interview.question import Question

WORKING = "Working out what is worth looking at next ..."


class QuestionBox(Vertical):
    """Head, question and answers stand, wherever lines come above; what is long between them scrolls."""

    def compose(self) -> ComposeResult:
        """From the name of the check down to the keys."""
        with Vertical(id="above"):
            yield Plain(id="check")
            yield Plain(id="asked")
            with VerticalScroll(id="around", can_focus=False):
                yield Plain(id="how")
        yield Answers()
        yield KeyRow(id="beside")

    @property
    def answers(self) -> Answers:
        """Its answers."""
        return self.query_one(Answers)

    async def ask(
        self, question: "Question", check: str, span: str, *, skips: bool = False, story: str = "", half: str = ""
    ) -> None:
        """Show a question. ``check``: the name of the check it is part of; ``span``: its minutes in words.

        ``half``: what stands half typed of an answer.
        """
        self.head(check, span)
        self.query_one("#asked", Plain).say(question.text)
        self.query_one("#how", Plain).say(_around(question, story))
        self.query_one("#around", VerticalScroll).scroll_home(animate=False)
        self.answers.ask(question, half)
        await self.query_one("#beside", KeyRow).show(keys_beside(question, skips=skips))

    def head(self, check: str, span: str) -> None:
        """The head over a question that waits for its answer."""
        head = f"NEXT: {check}" if check else "NEXT"
        self.query_one("#check", Plain).say(f"{head} ({span})" if span else head)
        self.remove_class("working")

    def wait(self) -> None:
        """The answer is taken; the next question is being worked out, and no key answers until it stands here."""
        self.add_class("working")
        self.query_one("#check", Plain).say(WORKING)
        self.answers.close()


def _around(question: "Question", story: str) -> Content:
    """Holds and cautions first, then the driver's story, why now and how."""
    return lines(
        *(plain(f"HOLD: {hold}", "bold") for hold in question.holds),
        *(plain(f"CAUTION: {caution}", "bold") for caution in question.cautions),
        plain("Told: ", "bold") + plain(story) if story else plain(""),
        plain("Why now: ", "bold") + plain(question.why) if question.why else plain(""),
        plain("Needs: ", "bold") + plain(", ".join(question.needs)) if question.needs else plain(""),
        plain("Tools: ", "bold") + plain(", ".join(question.tools)) if question.tools else plain(""),
        *(plain(f"{number}. {step}") for number, step in enumerate(question.how, start=1)),
    )
