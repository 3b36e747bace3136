"""The knowledge as a map: its zones with their causes and where oil gets from one to another; or one zone by itself."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby, pairwise

import graphviz

from leakdx.diagrams.engine import svg
from leakdx.diagrams.picture import EDGE_LOOK, GRAPH_LOOK, NODE_LOOK, label
from leakdx.errors import UsageError
from leakdx.explain.words import answer_name, capital
from leakdx.knowledge.entry import Raw
from leakdx.knowledge.model import Cause, Knowledge
from leakdx.knowledge.names import meant, nearest_id

COLUMNS = 3
WIDTH, LEGEND_WIDTH = 40, 110
_NODE = {**NODE_LOOK, "shape": "box", "fillcolor": "white", "margin": "0.55,0.08"}
"""Wide at the sides, since a reader's font may be wider than the one that the engine measures by."""
SIDE = "\\l"
"""Lines begin at the left."""
LEGEND = (
    "Box: a zone where oil comes out, with its causes and their shares of 100 axles that come in wet at the joint.",
    "Line: how oil from there gets to another zone, and so looks as if it came from it.",
    "Last in a box: how it gets to where it only collects.",
    "One zone with what each of its causes shows: leakdx knowledge map ZONE.",
)
ZONE_LEGEND = (
    "Box: a cause, its share of 100 axles that come in wet at the joint, and what it shows, by how often.",
    "Line: one leads to the other, with the word for how often.",
)


def map_dot(knowledge: Knowledge, zone: str | None = None) -> str:
    """The map as DOT text, the same for the same knowledge.

    Raises:
        UsageError: There is no such zone; the nearest is named.
    """
    return _whole(knowledge) if zone is None else _one(knowledge, _zone(knowledge, zone))


def map_svg(knowledge: Knowledge, zone: str | None = None) -> bytes:
    """The map as SVG. Raises as above, and DiagramError where nothing can lay it out."""
    return svg(map_dot(knowledge, zone))


def _zone(knowledge: Knowledge, typed: str) -> str:
    found = typed if typed in knowledge.zones else meant(typed, knowledge.zones)
    if found is None:
        near = nearest_id(typed, knowledge.zones)
        right = f"did you mean '{near}'?" if near else f"known are {', '.join(knowledge.zones)}"
        raise UsageError(f"there is no zone '{typed[:60]}'; {right}")
    return found


def _graph(title: str, legend: Sequence[str]) -> graphviz.Digraph:
    look = {**GRAPH_LOOK, "ranksep": "0.6", "nodesep": "0.25"}
    graph = graphviz.Digraph("causes", graph_attr=look, node_attr=_NODE, edge_attr=EDGE_LOOK)
    graph.attr(label=label((title, *legend, ""), LEGEND_WIDTH, SIDE))
    return graph


def _whole(knowledge: Knowledge) -> str:
    """Zones with their causes; the complaint's own zone stands out."""
    graph = _graph("Zones, their causes, and the ways of oil", LEGEND)
    ids = {zone: f"n{number}" for number, zone in enumerate(knowledge.zones, start=1)}
    for zone, entry in knowledge.zones.items():
        causes = [c for c in knowledge.causes.values() if c.zone == zone]
        lines = [f"{cause.share:g}  {cause.name}" for cause in sorted(causes, key=lambda c: -c.share)]
        # Nothing leaks there: as lines these would cross all others and tell no more.
        collects = [f"{word}: {knowledge.name(place)}" for place, word in entry.paths.items() if place not in ids]
        look = {"penwidth": "3"} if zone == knowledge.complaint else {}
        fill = "#eeeeee" if entry.paths else "white"
        graph.node(ids[zone], label=_box(entry.name, [*lines, *collects]), fillcolor=fill, **look)
    for zone, entry in knowledge.zones.items():
        for place, word in entry.paths.items():
            if place in ids:
                graph.edge(ids[zone], ids[place], label=label((str(word),), WIDTH))
    return str(graph.source)


def _one(knowledge: Knowledge, zone: str) -> str:
    """The causes of one zone in rows, the commonest first, each with what it shows."""
    causes = {id: c for id, c in knowledge.causes.items() if zone in (c.zone, *c.also_zones)}
    order = sorted(causes, key=lambda id: -causes[id].share)
    graph = _graph(f"{capital(knowledge.name(zone))}: its causes and what they show", ZONE_LEGEND)
    ids = {id: f"n{number}" for number, id in enumerate(order, start=1)}
    for id in order:
        graph.node(ids[id], label=_box(f"{causes[id].share:g}  {causes[id].name}", list(_shown(knowledge, causes[id]))))
    for place, (left, right) in enumerate(pairwise(order), start=1):
        if place % COLUMNS:
            graph.edge(ids[left], ids[right], style="invis")
    for id in order:
        for other, link in causes[id].leads_to.items():
            if other in ids:
                graph.edge(ids[id], ids[other], label=label((_word(link),), WIDTH), constraint="false")
    return str(graph.source)


def _box(head: str, lines: Iterable[str]) -> str:
    return label((capital(head), *(f"  {line}" for line in lines)), WIDTH, SIDE)


def _shown(knowledge: Knowledge, cause: Cause) -> Iterator[str]:
    """ "mostly: a ring of flung oil; ..." for each word, the strongest first."""
    links = [(link, knowledge.name(sign)) for sign, link in cause.shows.items()]
    links += [
        (link, f"{knowledge.name(sign)}: {answer_name(knowledge, sign, answer)}")
        for sign, looks in cause.looks.items()
        for answer, link in looks.items()
    ]
    links.sort(key=lambda one: -_strength(knowledge.words.links, one[0]))
    for word, group in groupby(links, lambda one: _word(one[0])):
        yield f"{word}: {'; '.join(what for _, what in group)}"


def _word(link: object) -> str:
    return f"{link.value:g} of 1" if isinstance(link, Raw) else str(link)


def _strength(words: Mapping[str, float], link: object) -> float:
    return link.value if isinstance(link, Raw) else words.get(str(link), 1.0)
