"""The head of a case: which truck, may it drive, what is held, where and what. It never scrolls away."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical

from leakdx.ui.widgets.plain import Plain, lines, plain
from leakdx.ui.widgets.titlebar import TitleBar

if TYPE_CHECKING:
    from leakdx.explain.glance import Glance

HOLDS_SHOWN = 2
WEIGHING = "Weighing the repairs again ..."


class Strip(Vertical):
    """Safety first, then the answer so far."""

    _is_advised = False
    """Whether the line of work holds an advice."""

    def compose(self) -> ComposeResult:
        """One line each, more of them where there is room."""
        yield TitleBar(id="truck", back="cases")
        yield Plain(id="fit")
        yield Plain(id="held")
        yield Plain(id="so_far")
        yield Plain(id="work")

    def show(self, now: "Glance", practice: bool = False) -> None:
        """Show a case at a glance."""
        name = f"PRACTICE, nothing is kept - {now.unit}" if practice else now.unit
        self.query_one("#truck", Plain).say(plain(name, "bold"))
        fit = self.query_one("#fit", Plain)
        words = now.fit_words.upper() if now.fit in ("no", "recheck") else now.fit_words.capitalize()
        fit.say(plain(words, "bold") + plain(f": {now.fit_reason}" if now.fit in ("no", "recheck") else ""))
        fit.set_class(now.fit == "no", "danger")
        fit.set_class(now.fit == "recheck", "care")
        self._show_holds(now)
        # An advice keeps its line while repairs are weighed anew, so that nothing below it moves.
        self._is_advised = self._is_advised and not now.work
        self._show_work(f"Repair (key r): {now.work}" if now.work else WEIGHING if self._is_advised else "")
        so_far = self.query_one("#so_far", Plain)
        if now.trouble:
            so_far.say(f"These answers exclude one another: {now.trouble}")
        else:
            so_far.say(lines(plain("Where  ", "bold") + plain(now.where), plain("Leads  ", "bold") + plain(now.leads)))

    def advise(self, path: str) -> None:
        """Offer the repair that the plan is clear about; ``path``: its name, empty where there is nothing to offer."""
        if path:
            self._show_work(f"Time to repair (key r): {path}")
        elif self._is_advised:
            self._show_work("")
        self._is_advised = bool(path)

    def _show_work(self, text: str) -> None:
        work = self.query_one("#work", Plain)
        work.display = bool(text)
        work.say(plain(text, "bold"))

    def _show_holds(self, now: "Glance") -> None:
        held = self.query_one("#held", Plain)
        held.display = bool(now.holds)
        shown = [f"HOLD: {hold.text}" for hold in now.holds[1:HOLDS_SHOWN]]
        held.say("\n".join([f"HOLD {len(now.holds)} (key h): {hold.text}" for hold in now.holds[:1]] + shown))
