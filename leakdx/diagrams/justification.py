"""One conclusion as a diagram: the answers that moved it, the rules that speak of it, and what these stand on."""

from collections.abc import Iterable

from leakdx.diagrams.engine import svg
from leakdx.diagrams.picture import Edge, Key, Kind, Node, Picture, dot_text, folded, weight_edge
from leakdx.errors import UsageError
from leakdx.explain.reasons import conclusion_words, condition_words, entry_words, fact_words
from leakdx.explain.why import meant_thing, said_of
from leakdx.explain.why_belief import moved_by
from leakdx.explain.words import answered, capital, sure
from leakdx.knowledge.actions import Conclusion
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.justification import Thing, Why, things_about, why

MOST_NODES = 40
MOST_MOVED = 14
LEGEND_WIDTH = 62
"""Few things stand on it, so it is narrow."""
KEPT = 99.0
LEGEND = (
    "Box: seen, measured or told, with its entry. Rounded: what a rule found. Hexagon: a rule.",
    "Plain: not so, or not known.",
    "On the right: what is asked about. A double box is a hold, a dashed box is barred.",
    "Line: solid speaks for, broken with a bar speaks against, the thicker the stronger (10 dB: ten times the odds).",
)
_FOLDABLE: dict[Kind, str] = {"seen": "answers", "finding": "findings", "more": "things not so"}


def justification_dot(diagnosis: Diagnosis, thing: str) -> str:
    """The diagram of one thing, named as for ``leakdx why``, as DOT text.

    Raises:
        UsageError: Nothing is called so, or neither an answer nor a rule speaks of it.
    """
    drawn = _Drawing(diagnosis)
    name = drawn.draw(thing)
    if not drawn.edges:
        raise UsageError(f"nothing in this case speaks of {name}, so there is nothing to draw; ask why, or why not")
    case = diagnosis.case
    title = " - ".join(part for part in (f"Why: {name}", case.id, case.unit) if part)
    picture = Picture(title, LEGEND, tuple(drawn.nodes.values()), tuple(drawn.edges), LEGEND_WIDTH)
    return dot_text(folded(picture, MOST_NODES, _FOLDABLE))


def justification_svg(diagnosis: Diagnosis, thing: str) -> bytes:
    """The diagram as SVG. Raises as above, and DiagramError where nothing can lay it out."""
    return svg(justification_dot(diagnosis, thing))


class _Drawing:
    """Collects nodes and edges, each once."""

    def __init__(self, diagnosis: Diagnosis) -> None:
        self._diagnosis = diagnosis
        self._knowledge = diagnosis.knowledge
        self.nodes: dict[Key, Node] = {}
        self.edges: dict[Edge, None] = {}

    def draw(self, thing: str) -> str:
        """Everything that speaks of a thing; returns its name."""
        spoken = said_of(self._diagnosis, thing)
        if spoken is not None:
            for said in spoken:
                self._rules(said)
            return thing
        id = meant_thing(self._knowledge, thing)
        things = things_about(self._diagnosis.run, id)
        row = next((row for row in self._diagnosis.answers.causes if row.id == id), None)
        if row is not None:
            text = f"{capital(row.name)}\n{sure(row.leaking_first)}"
            self._add(Node(("cause", id), "cause", text, KEPT, strong=True))
            self._answers(id)
        for one in things:
            self._rules(one, ("cause", id) if row is not None else None)
        return self._knowledge.name(id)

    def _add(self, node: Node) -> Key:
        self.nodes.setdefault(node.key, node)
        return node.key

    def _answers(self, cause: str) -> None:
        """The answers that moved a cause most."""
        moved = sorted(moved_by(self._diagnosis, cause), key=lambda pair: -abs(pair[0]))[:MOST_MOVED]
        for decibans, seen in moved:
            text = f"{answered(self._knowledge, seen.id, seen.answer)}\n{self._entry(seen.entry)}"
            key = self._add(Node(("seen", seen.id, seen.answer), "seen", text, abs(decibans)))
            self.edges[weight_edge(key, ("cause", cause), decibans)] = None

    def _rules(self, said: Thing, into: Key | None = None) -> None:
        """What a thing stands on by rules; what only the log says stands in its own box."""
        found = why(self._diagnosis.justification, self._diagnosis.run, said)
        if found.because:
            self._why(found, into)

    def _why(self, found: Why, into: Key | None = None) -> Key:
        key = into or self._add(self._node(found))
        for reason in found.because:
            rule = self._add(Node(("rule", reason.rule, *key), "rule", self._knowledge.name(reason.rule), KEPT))
            against = isinstance(found.thing, Fact) and found.thing.kind == "excluded" and into is not None
            self.edges[Edge(rule, key, self._word(found.thing) if into else "", 0.4, against)] = None
            for premise in reason.premises:
                self.edges[Edge(self._why(premise), rule)] = None
            for condition in reason.absent:
                text = condition_words(self._knowledge, condition)
                self.edges[Edge(self._add(Node(("more", text), "more", text)), rule)] = None
        return key

    @staticmethod
    def _word(thing: Thing) -> str:
        return {"established": "proves", "excluded": "rules out"}.get(thing.kind, "") if isinstance(thing, Fact) else ""

    def _node(self, found: Why) -> Node:
        thing = found.thing
        if not isinstance(thing, Fact):
            text = capital(conclusion_words(self._knowledge, thing))
            return Node(("said", text), _kind(thing), text, KEPT)
        is_seen = thing in self._diagnosis.run.given
        key = ("seen" if is_seen and thing.kind == "sign" else thing.kind, thing.id, thing.answer)
        text = "\n".join((fact_words(self._knowledge, thing), *map(self._entry, found.entries)))
        return Node(key, "seen" if is_seen else "finding", text, 1.0)

    def _entry(self, number: int) -> str:
        return f"[{entry_words(self._diagnosis, number)}]"


def _kind(said: Conclusion) -> Kind:
    """How what a rule tells people is drawn."""
    kinds: Iterable[tuple[object, Kind]] = ((said.forbid, "barred"), (said.hold, "hold"), (said.fit, "fit"))
    return next((kind for field, kind in kinds if field), "next")
