"""A diagram before it is laid out: nodes in columns, edges with a word, and how both become DOT.

What a thing is shows in its shape, its fill and its words, never in colour alone, so that a black-and-white
print and a dark page show the same. Text stands only in labels, made safe for the layout engine; the ids of
nodes are numbers that are given out in order.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Literal

import graphviz
from msgspec import Struct, structs

from leakdx.clean import clean_line
from leakdx.explain.page import wrapped
from leakdx.explain.words import strength

Kind = Literal["seen", "rule", "finding", "cause", "next", "hold", "fit", "barred", "more"]
Key = tuple[str, ...]

_FONT = "Helvetica,Arial,sans-serif"

_LOOKS: Mapping[Kind, Mapping[str, str]] = {
    "seen": {"shape": "box", "fillcolor": "white"},
    "finding": {"shape": "box", "style": "filled,rounded", "fillcolor": "#eeeeee"},
    "rule": {"shape": "hexagon", "fillcolor": "#eeeeee", "margin": "0.03,0.04"},
    "cause": {"shape": "ellipse", "fillcolor": "white", "margin": "0.05,0.03"},
    "next": {"shape": "box", "fillcolor": "#d0d0d0", "penwidth": "3"},
    "fit": {"shape": "box", "fillcolor": "#d0d0d0", "peripheries": "2"},
    "hold": {"shape": "box", "fillcolor": "white", "peripheries": "2"},
    "barred": {"shape": "box", "style": "filled,dashed", "fillcolor": "white"},
    "more": {"shape": "plaintext", "style": ""},
}
GRAPH_LOOK = {"rankdir": "LR", "bgcolor": "white", "newrank": "true", "nodesep": "0.16", "ranksep": "0.3",
              "fontname": _FONT, "fontsize": "11", "labelloc": "t", "labeljust": "l",
              "pad": "0.1"}  # fmt: skip
NODE_LOOK = {"style": "filled", "fontname": _FONT, "fontsize": "11", "color": "black", "fontcolor": "black",
             "margin": "0.25,0.06", "height": "0.3"}  # fmt: skip
EDGE_LOOK = {"fontname": _FONT, "fontsize": "10", "color": "black", "fontcolor": "black", "arrowsize": "0.6"}
_CLUSTER = {"style": "dashed", "color": "#555555", "fontname": _FONT, "fontsize": "11", "margin": "8",
            "labeljust": "r"}  # fmt: skip
FULL_STRENGTH = 12.0
"""Decibans of the widest line."""
LABEL_WIDTH, WIDE_LABEL, LEGEND_WIDTH = 24, 31, 120
_WIDE = ("next", "fit", "hold", "barred")
_COLUMNS = (("source", ("seen", "more")), ("same", ("cause",)), ("sink", _WIDE))


class Node(Struct, frozen=True):
    """A node. ``weight``: what it would lose the reader to fold it; ``group``: the frame that it stands in."""

    key: Key
    kind: Kind
    text: str
    weight: float = 0.0
    group: str = ""
    strong: bool = False


class Edge(Struct, frozen=True):
    """An edge. ``strength`` in 0..1 is the line's width; ``against`` breaks the line and ends it in a bar."""

    tail: Key
    head: Key
    word: str = ""
    strength: float = 0.2
    against: bool = False


def weight_edge(seen: Key, cause: Key, decibans: float) -> Edge:
    """What an answer did to a cause: the thicker the stronger, broken where it speaks against."""
    wide = min(abs(decibans) / FULL_STRENGTH, 1.0)
    return Edge(seen, cause, f"{strength(decibans)}, {decibans:+.0f} dB", wide, decibans < 0)


class Picture(Struct, frozen=True):
    """Nodes and edges, each in a fixed order; an edge to a node that is not there is not drawn.

    ``legend_width``: characters of a line of the legend, fewer where little stands on the picture.
    """

    title: str
    legend: Sequence[str]
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    legend_width: int = LEGEND_WIDTH


def folded(picture: Picture, most: int, foldable: Mapping[Kind, str]) -> Picture:
    """The picture with at most ``most`` nodes: the weakest of the foldable kinds become "n more ..."."""
    spare = sorted((n for n in picture.nodes if n.kind in foldable), key=lambda n: (n.weight, n.key))
    excess = len(picture.nodes) - most
    if excess <= 0 or not spare:
        return picture
    gone = {node.key: node for node in spare[: excess + len(foldable)]}
    kept = [node for node in picture.nodes if node.key not in gone]
    for kind, name in foldable.items():
        count = sum(node.kind == kind for node in gone.values())
        if count:
            kept.append(Node(("more", kind), "more", f"and {count} more {name}, each weaker"))
    return structs.replace(picture, nodes=tuple(kept))


def dot_text(picture: Picture) -> str:
    """The DOT text of a picture, the same for the same picture."""
    graph = graphviz.Digraph("reasoning", graph_attr=GRAPH_LOOK, node_attr=NODE_LOOK, edge_attr=EDGE_LOOK)
    graph.attr(label=label((picture.title, *picture.legend, ""), picture.legend_width, "\\l"))
    ids = {node.key: f"n{number}" for number, node in enumerate(picture.nodes, start=1)}
    groups = list(dict.fromkeys(node.group for node in picture.nodes if node.group))
    for number, group in enumerate(groups, start=1):
        with graph.subgraph(name=f"cluster{number}") as frame:
            frame.attr(label=label((group,), 40), **_CLUSTER)
            _add_nodes(frame, ids, (node for node in picture.nodes if node.group == group))
    _add_nodes(graph, ids, (node for node in picture.nodes if not node.group))
    _add_columns(graph, ids, picture.nodes)
    for edge in picture.edges:
        if edge.tail in ids and edge.head in ids:
            graph.edge(ids[edge.tail], ids[edge.head], **_edge_look(edge))
    return str(graph.source)


def _add_columns(graph: graphviz.Digraph, ids: Mapping[Key, str], nodes: Sequence[Node]) -> None:
    """What was seen on the left, causes under each other, what is to be done on the right in its own order."""
    for rank, kinds in _COLUMNS:
        inside = [ids[node.key] for node in nodes if node.kind in kinds]
        with graph.subgraph() as column:
            column.attr(rank=rank)
            for id in inside:
                column.node(id)
            if rank == "sink":
                for above, below in pairwise(inside):
                    column.edge(above, below, style="invis")


def _add_nodes(graph: graphviz.Digraph, ids: Mapping[Key, str], nodes: Iterable[Node]) -> None:
    for node in nodes:
        look = dict(_LOOKS[node.kind])
        if node.strong:
            look |= {"penwidth": "3", "peripheries": "2"}
        graph.node(
            ids[node.key],
            label=label(node.text.split("\n"), WIDE_LABEL if node.kind in _WIDE else LABEL_WIDTH),
            **look,
        )


def _edge_look(edge: Edge) -> dict[str, str]:
    look = {"penwidth": f"{0.6 + 3.4 * min(edge.strength, 1.0):.2f}"}
    if edge.word:
        look["label"] = label((edge.word,), 24)
    if edge.against:
        look |= {"style": "dashed", "arrowhead": "tee"}
    return look


def label(lines: Iterable[str], width: int, end: str = "\\n") -> str:
    """A label of wrapped lines, never read as markup, escape or entity; ``end`` also sets the lines' side."""
    parts = [part for line in lines for part in wrapped(clean_line(line), width) or [""]]
    safe = [str(graphviz.escape(part.replace("&", "&amp;"))) for part in parts]
    joined = end.join(safe) + (end if end != "\\n" else "")
    made: str = graphviz.nohtml(joined)  # of a kind of its own, which str() would lose
    return made
