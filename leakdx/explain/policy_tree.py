"""The decision tree in words, in pages three checks deep; what lies deeper stands on pages of its own."""

from collections.abc import Sequence
from functools import cached_property

from leakdx.explain.page import USUAL
from leakdx.explain.tree import Branch as Line
from leakdx.explain.tree import tree_text
from leakdx.explain.words import capital, counted, listed, minutes, money, outcome, path_name, percent
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.decision_tree import FLOOR, Branch, Leaf, summary

LEVELS = 3
"""Checks that one page shows below one another."""
ZONES_SHOWN = 3
_DO = {
    "look_further": "go on with the live case",
    "repair": "repair",
    "release_and_recheck": "release and look again",
    "stop_and_ask": "stop and ask the maker",
}
_ENDS = {"decided": "", "rare": " (rare: cut here)", "deep": " (deep: cut here)"}


class Book:
    """A tree as pages; page 1 begins at its root. ``floor``: minutes that a check in it is worth at the least."""

    def __init__(self, knowledge: Knowledge, tree: Branch, currency: str, floor: float = FLOOR) -> None:
        self.knowledge, self.tree, self.currency, self.floor = knowledge, tree, currency, floor

    @cached_property
    def pages(self) -> tuple[Branch, ...]:
        """The state that each page begins at."""
        found = [self.tree]
        for page in found:  # grows while it is walked
            found += [branch for branch in self.shown(page) if self._turns(page, branch)]
        return tuple(found)

    def shown(self, page: Branch) -> list[Branch]:
        """All that a page shows, its own beginning first."""
        return [page, *(branch for below in page.below for branch in self._within(below, LEVELS - 1))]

    def _within(self, branch: Branch, levels: int) -> list[Branch]:
        deeper = branch.below if levels else ()
        return [branch, *(found for below in deeper for found in self._within(below, levels - 1))]

    def _turns(self, page: Branch, branch: Branch) -> bool:
        """Whether what follows this branch stands on a page of its own."""
        return bool(branch.below) and branch is not page and not any(b is branch.below[0] for b in self.shown(page))

    def page_of(self, branch: Branch) -> int | None:
        """The number of the page that begins here."""
        return next((n for n, page in enumerate(self.pages, 1) if page is branch), None)

    # -- words -------------------------------------------------------------------------------------------

    def heading(self) -> str:
        """The tree in figures."""
        told = summary(self.tree)
        work = minutes((told.minutes, told.minutes))
        sizes = ((told.nodes, "state"), (told.leaves, "end"), (len(self.pages), "page"))
        return (
            f"Decision tree: {', '.join(counted(count, what) for count, what in sizes)}; "
            f"every check in it is worth {minutes((self.floor, self.floor))} or more. "
            f"Expected: {told.checks:.1f} checks, {work} of work, {money(told.money, self.currency)}; "
            f"the repair holds with {percent(told.p_hold)}. Cut off where the live case goes on: "
            f"{percent(told.cut_rare)} as too rare, {percent(told.cut_deep)} as too deep."
        )

    def answers(self, branch: Branch) -> str:
        """What led to a state."""
        if not branch.answers:
            return "As the case stands"
        if len(branch.answers) > 1:
            return f"{len(branch.answers)} rarer results together"
        return capital(outcome(self.knowledge, branch.answers[0])) if branch.answers[0] else "Whatever it shows"

    def step(self, branch: Branch) -> str:
        """What is done in a state."""
        if branch.leaf is not None:
            return self.end(branch.leaf)
        opened = f" (open: {listed(map(self.knowledge.name, branch.opens))})" if branch.opens else ""
        return f"CHECK {self.knowledge.name(branch.check or '')}{opened}"

    def end(self, leaf: Leaf) -> str:
        """Where a branch ends, and with what prospects."""
        path = path_name(self.knowledge, leaf.repair)
        figures = (
            f"holds {percent(leaf.p_hold)}, {minutes((leaf.minutes, leaf.minutes))}, {money(leaf.money, self.currency)}"
        )
        if leaf.do == "stop_and_ask":
            return f"END stop and ask the maker{_ENDS[leaf.ends]}"
        said = _DO[leaf.do] if leaf.ends == "decided" else "best now"
        return f"END {said}: {path}; {figures}{_ENDS[leaf.ends]}"

    def by_zone(self, branch: Branch) -> str:
        """What a part of the tree comes to: where the oil comes out in most of it."""
        shares: dict[str, float] = {}
        for end, _ in branch.leaves():
            shares[end.zone] = shares.get(end.zone, 0.0) + end.probability / branch.probability
        most = sorted(shares, key=lambda zone: -shares[zone])[:ZONES_SHOWN]
        return ", ".join(f"{self.knowledge.name(zone)} {percent(shares[zone])}" for zone in most)

    def page_text(self, number: int, width: int = USUAL) -> str:
        """One page as a tree of text, the chance of each state at its right end."""
        page = self.pages[number - 1]
        return tree_text(self._line(page, page, LEVELS), width)

    def _line(self, page: Branch, branch: Branch, levels: int) -> Line:
        text = f"{self.answers(branch)}: {self.step(branch)}"
        if branch.below and not levels:
            text = f"{self.answers(branch)}: go on, page {self.page_of(branch)} ({self.by_zone(branch)})"
        below = tuple(self._line(page, one, levels - 1) for one in branch.below) if levels else ()
        return Line(text, below, percent(branch.probability))

    def text(self, numbers: Sequence[int], width: int = USUAL) -> str:
        """Some pages, one under the other."""
        parts = [tree_text(Line(self.heading()), width)]
        parts += [f"Page {number}\n{self.page_text(number, width)}" for number in numbers]
        return "\n".join(parts)
