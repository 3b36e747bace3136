"""The best repair paths side by side; deciding on one is written down with its reason."""

from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widgets import Footer

from leakdx.errors import LeakdxError
from leakdx.ui.actions import bindings_of
from leakdx.ui.screens.base import Page
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.textpage import TextPage
from leakdx.ui.widgets.pathcard import Card
from leakdx.ui.widgets.plain import Plain
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from leakdx.explain.paths import PathCard
    from leakdx.reasoning.answer import Decision
    from leakdx.ui.drafts import PageDraft
    from leakdx.ui.screens.case import CaseScreen

WEIGHING = "Weighing the repairs ..."
NONE = "No repair is left open on this truck as it stands. Key x says what is barred and why; ask the axle maker."
COST = "In the end: labour, parts, the truck's time, and what a comeback and a leak left behind would cost."


class PathsScreen(Page):
    """Up to three paths; the plan's own word stands over them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings_of("paths"),
        *(Binding(str(n), f"number({n})", show=False) for n in range(1, 4)),
    ]
    where = "paths"
    about: ClassVar[str] = (
        "The best repairs, the cheapest in the long run first: how surely each holds, its hours, what it costs in the "
        "end, what it needs first, what rules hold back and what it leaves unfixed. A number decides; the reason is "
        "asked."
    )

    def __init__(self, case: "CaseScreen") -> None:
        super().__init__()
        self._case = case
        self._decision: Decision | None = None

    def compose(self) -> ComposeResult:
        """Title, what the plan says, cards, bar."""
        yield TitleBar("Repairs, the cheapest in the long run first")
        yield Plain(WEIGHING, id="plan")
        yield Horizontal(id="cards")
        yield Plain(COST, id="cost")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Weigh them."""
        self.show()

    @work(group="paths", exclusive=True)
    async def show(self) -> None:
        """Fetch and show the paths."""
        plan = self.query_one("#plan", Plain)
        try:
            decision, paths = await self._case.sitting.paths()
        except LeakdxError as error:
            plan.say(str(error))
            return
        if not self.is_alive:
            return
        self._decision = decision
        from leakdx.explain.work import DECISION_WORDS

        plan.say(f"The plan: {DECISION_WORDS[decision.do]}. {decision.reason}" if paths else NONE)
        cards = [Card(path, number) for number, path in enumerate(paths, start=1)]
        await self.query_one("#cards", Horizontal).mount(*cards)
        if cards and self.is_alive:
            cards[0].focus()

    def _marked(self) -> "PathCard | None":
        return self.focused.card if isinstance(self.focused, Card) else None

    @on(Card.Chosen)
    def _clicked(self, event: Card.Chosen) -> None:
        self.decide(event.card)

    def action_number(self, number: int) -> None:
        """Decide on the path of that number."""
        cards = list(self.query(Card))
        if number <= len(cards):
            self.decide(cards[number - 1].card)

    def action_choose(self) -> None:
        """Decide on the marked one."""
        marked = self._marked()
        if marked is not None:
            self.decide(marked)

    def decide(self, card: "PathCard") -> None:
        """Decide on a path."""
        self.one_at_a_time(self._decide, card)

    async def _decide(self, card: "PathCard") -> None:
        why = await self._reason(card)
        if why:
            await self._write(card, why)

    async def _reason(self, card: "PathCard") -> str | None:
        """The reason, after what speaks against deciding now; None where it is not decided."""
        if not card.path.actions:
            self.notify("Nothing is repaired by this path. Close the case, or look further.", markup=False)
            return None
        decision = self._decision
        if decision is not None and decision.do != "repair":
            against = f"The plan says otherwise: {decision.reason}"
            sure = ConfirmScreen(against, f"Decide on it all the same: {card.name}?", "yes, decide on it")
            if not await self.app.push_screen_wait(sure):
                return None
        usual = f"holds {card.holds}, in the end {card.cost}"
        asked = LineScreen(f"{card.name}: why this one?", typed=usual, draft=self._draft(card))
        return await self.app.push_screen_wait(asked)

    def _draft(self, card: "PathCard") -> "PageDraft":
        """The reason that stands half typed."""
        name = " ".join(card.path.actions)
        return self._case.sitting.drafts.page(f"decide {name}", f"why this repair: {card.name} (key r)")

    async def _write(self, card: "PathCard", why: str) -> None:
        sitting = self._case.sitting
        decide, draft = sitting.repairing.decide, self._draft(card)
        said = await self._case.write(sitting.do(draft.written_by(lambda: decide(card.path.actions, why))))
        course = None if said.wrong else await sitting.course()
        if course is None:
            self.notify(said.wrong, title="Not taken", severity="error", markup=False)
            return
        from leakdx.ui.screens.repair import RepairScreen  # the two lead to each other

        if self.app.screen is self:  # else it was left meanwhile, or something stands over it
            self.app.switch_screen(RepairScreen(self._case, course))

    def action_why(self) -> None:
        """Why the marked one."""
        marked = self._marked()
        if marked is not None:
            for action in marked.path.actions[:1]:
                self._case.show_why(action, marked.name)

    def action_barred(self) -> None:
        """All that is barred."""
        self.app.push_screen(TextPage("Barred by rule", lambda _: self._case.sitting.barred()))
