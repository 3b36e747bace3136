"""One page of the decision tree as a picture: checks, results with their chances, and the repairs they end in."""

import graphviz

from leakdx.diagrams.engine import svg
from leakdx.diagrams.picture import EDGE_LOOK, GRAPH_LOOK, NODE_LOOK, label
from leakdx.explain.policy_tree import Book
from leakdx.explain.words import percent
from leakdx.reasoning.decision_tree import Branch

WIDTH, EDGE_WIDTH, HEADING_WIDTH = 34, 26, 120
_CHECK = {"shape": "box", "fillcolor": "white"}
_END = {"shape": "box", "style": "filled,rounded", "fillcolor": "#d0d0d0"}
_CUT = {"shape": "box", "style": "filled,dashed,rounded", "fillcolor": "white"}
_MORE = {"shape": "folder", "fillcolor": "#eeeeee"}


def page_dot(book: Book, number: int) -> str:
    """The DOT text of a page, the same for the same tree."""
    page = book.pages[number - 1]
    shown = book.shown(page)
    graph = graphviz.Digraph("decision_tree", graph_attr=GRAPH_LOOK, node_attr=NODE_LOOK, edge_attr=EDGE_LOOK)
    where = f"Page {number} of {len(book.pages)}"
    began = "" if number == 1 else f": {book.answers(page)}, {percent(page.probability)} of all"
    graph.attr(label=label((book.heading(), f"{where}{began}", ""), HEADING_WIDTH, "\\l"))
    ids = {id(branch): f"n{place}" for place, branch in enumerate(shown, start=1)}
    for branch in shown:
        text, look = _node(book, page, branch)
        graph.node(ids[id(branch)], label=label(text.split("\n"), WIDTH), **look)
    for branch in shown:
        for below in branch.below:
            if id(below) in ids:
                part = below.probability / max(branch.probability, 1e-12)
                word = label((book.answers(below), percent(part)), EDGE_WIDTH)
                graph.edge(ids[id(branch)], ids[id(below)], label=word, penwidth=f"{0.6 + 3.4 * min(part, 1.0):.2f}")
    return str(graph.source)


def page_svg(book: Book, number: int) -> bytes:
    """The page as SVG. Raises DiagramError where nothing can lay it out."""
    return svg(page_dot(book, number))


def _node(book: Book, page: Branch, branch: Branch) -> tuple[str, dict[str, str]]:
    if branch.leaf is not None:
        return book.step(branch).removeprefix("END "), _END if branch.leaf.ends == "decided" else _CUT
    turned = book.page_of(branch)
    if turned is not None and branch is not page:
        return f"page {turned}\n{book.by_zone(branch)}", _MORE
    return book.step(branch).removeprefix("CHECK "), _CHECK
