"""The decision tree in pages: every state on exactly one, and every page found from the one before."""

from pathlib import Path

import pytest

from leakdx.case import Case
from leakdx.diagrams.policy_tree import page_dot
from leakdx.explain.policy_tree import Book
from leakdx.knowledge.loader import load_knowledge
from leakdx.reasoning.decision_tree import Branch, Compiler, Leaf

SIX = load_knowledge([Path(__file__).parents[1] / "data" / "six"])


def state(levels: int, probability: float = 1.0) -> Branch:
    """A tree whose every check has two results, so many levels deep."""
    common = (
        ({next(iter(SIX.signs)): "yes"},),
        probability,
        10.0,
        50.0,
        next(iter(SIX.causes)),
        0.7,
        next(iter(SIX.zones)),
    )
    if not levels:
        leaf = Leaf("repair", (next(iter(SIX.repairs)),), 0.8, 60.0, 900.0, "decided")
        return Branch(*common, None, (), leaf, ())
    below = tuple(state(levels - 1, probability / 2) for _ in range(2))
    return Branch(*common, next(iter(SIX.checks)), (), None, below)


@pytest.fixture(scope="module")
def book() -> Book:
    tree = Compiler(SIX).compile(Case(id="wet", complaint=SIX.complaint, log=()))
    return Book(SIX, tree, "USD")


def test_the_pages_together_hold_every_state(book: Book) -> None:
    text = book.text(range(1, len(book.pages) + 1))
    assert "Cut off where the live case goes on" in " ".join(text.split())
    assert all(len(line) <= 80 for line in text.splitlines())
    turned = len(book.pages) - 1  # the check that a page begins with is named on that page alone
    assert text.count("CHECK") == sum(1 for branch in book.tree.walk() if branch.check)
    assert text.count("go on, page") == turned
    assert text.count("END") == sum(1 for _ in book.tree.leaves())


def test_a_deep_tree_is_told_in_pages_that_lead_to_one_another() -> None:
    deep = Book(SIX, state(7), "USD")
    assert len(deep.pages) == 1 + 8 + 64
    inner = [id(branch) for page in deep.pages for branch in deep.shown(page)[1:]]
    assert len(inner) == len(set(inner)) == sum(1 for _ in deep.tree.walk()) - 1
    assert "go on, page 2 " in " ".join(deep.page_text(1).split())


def test_a_page_as_a_picture_has_a_node_for_each_state(book: Book) -> None:
    dot = page_dot(book, 1)
    assert dot == page_dot(book, 1)
    assert dot.count("label=") >= 2 * len(book.shown(book.tree))
    assert "->" in dot


def test_what_cannot_end_in_a_repair_says_so(book: Book) -> None:
    assert book.end(Leaf("stop_and_ask", (), 0.0, 0.0, 2500.0, "decided")) == "END stop and ask the maker"
    assert "best now" in book.end(Leaf("repair", (), 0.6, 0.0, 100.0, "rare"))
