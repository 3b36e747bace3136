"""The reasoning of one case as a diagram: what was seen, what rules made of it, the causes, and what is to be done."""

from msgspec import structs

from leakdx.case import Case
from leakdx.diagrams.engine import svg
from leakdx.diagrams.picture import Edge, Key, Kind, Node, Picture, dot_text, folded, weight_edge
from leakdx.explain.reasons import FIT_WORDS, fact_words
from leakdx.explain.words import CLEAR, FAINT, answered, minutes, percent, sure, sure_word
from leakdx.explain.work import DECISION_WORDS
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import CauseBelief, ObservationWeight, RepairPath
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.facts import Fact
from leakdx.reasoning.rules import Firing

MOST_NODES = 40
CAUSES_SHOWN = 5
CAUSES_FROM = 0.02
LEADER_EDGES = 7
OTHER_EDGES = 3
HOLDS_SHOWN, BARRED_SHOWN = 3, 3
KEPT, ORDER_WEIGHT, VERDICT_WEIGHT, STEP = 99.0, 6.0, 10.0, 0.5
"""What decides which node is folded first: decibans for an answer, these for what rules stand on."""
LEGEND = (
    "Box: seen, measured or told. Rounded: what a rule found. Hexagon: a rule that settles a cause.",
    "Ellipse: a cause, the leading one with a double line; dashed frame: where its oil comes out.",
    "Grey box: what to do, and fit to drive. Double box: a hold. Dashed box: barred by a rule.",
    "Line: solid speaks for, broken with a bar speaks against, the thicker the stronger (10 dB: ten times the odds).",
)
_FOLDABLE: dict[Kind, str] = {"seen": "answers", "finding": "findings", "rule": "rules"}


def reasoning_dot(knowledge: Knowledge, case: Case, diagnosis: Diagnosis) -> str:
    """The diagram as DOT text, the same for the same case under any hash seed."""
    drawn = _Drawing(knowledge, diagnosis)
    drawn.draw()
    title = " - ".join(part for part in (case.id, case.unit) if part)
    picture = Picture(title, LEGEND, tuple(drawn.nodes.values()), tuple(drawn.edges))
    return dot_text(folded(picture, MOST_NODES, _FOLDABLE))


def reasoning_svg(knowledge: Knowledge, case: Case, diagnosis: Diagnosis) -> bytes:
    """The diagram as SVG. Raises DiagramError where nothing can lay it out."""
    return svg(reasoning_dot(knowledge, case, diagnosis))


class _Drawing:
    """Collects nodes and edges; a node that is met twice keeps the greater weight."""

    def __init__(self, knowledge: Knowledge, diagnosis: Diagnosis) -> None:
        self._knowledge = knowledge
        self._diagnosis = diagnosis
        self._answers = diagnosis.answers
        self.nodes: dict[Key, Node] = {}
        self.edges: dict[Edge, None] = {}
        self._causes = self._shown_causes()

    def draw(self) -> None:
        """Everything, in the order that the columns stand in."""
        self._draw_weights()
        self._draw_causes()
        for firing in self._diagnosis.run.firings:
            for said in firing.facts:
                if said.kind in ("established", "excluded") and said.id in self._causes:
                    self._draw_verdict(firing, said)
        self._draw_next()
        self._draw_orders()

    def _add(self, node: Node) -> Key:
        old = self.nodes.get(node.key)
        if old is None or old.weight < node.weight:
            self.nodes[node.key] = node
        return node.key

    def _join(self, edge: Edge) -> None:
        self.edges[edge] = None

    # -- what was seen, and causes -----------------------------------------------------------------------

    def _shown_causes(self) -> dict[str, CauseBelief]:
        rows = [row for row in self._answers.causes if row.leaking_first >= CAUSES_FROM]
        return {row.id: row for row in rows[:CAUSES_SHOWN]}

    def _draw_weights(self) -> None:
        """The answers that moved the shown causes most, each with its line."""
        for place, cause in enumerate(self._causes):
            moved = [(o.decibans[cause], o) for o in self._answers.observations if cause in o.decibans]
            least, most = (FAINT, LEADER_EDGES) if place == 0 else (CLEAR, OTHER_EDGES)
            told = sorted((m for m in moved if abs(m[0]) >= least), key=lambda m: -abs(m[0]))[:most]
            for decibans, seen in told:
                key = self._draw_seen(seen, abs(decibans))
                self._join(weight_edge(key, ("cause", cause), decibans))

    def _draw_seen(self, seen: ObservationWeight, weight: float) -> Key:
        """An answer of the log, or one that a rule gave, with what that stands on."""
        by_rule = next((f for f in self._diagnosis.run.derived if (f.id, f.answer) == (seen.id, seen.answer)), None)
        if by_rule is not None:
            return self._draw_fact(by_rule, weight)
        text = answered(self._knowledge, seen.id, seen.answer)
        return self._add(Node(_seen_key(self._knowledge, seen.id, seen.answer), "seen", text, weight))

    def _draw_causes(self) -> None:
        zones = {zone.id: zone for zone in self._answers.zones}
        for place, row in enumerate(self._causes.values()):
            entry = self._knowledge.causes.get(row.id)
            zone = zones[entry.zone if entry else self._knowledge.words.not_listed.zone]
            frame = f"{zone.name}, {percent(zone.leaking_first)}"
            text = f"{row.name}\n{sure_word(row.leaking_first)}, {percent(row.leaking_first)}"
            self._add(Node(("cause", row.id), "cause", text, KEPT, frame, place == 0))

    # -- rules -------------------------------------------------------------------------------------------

    def _draw_verdict(self, firing: Firing, said: Fact) -> None:
        proves = said.kind == "established"
        rule = self._draw_rule(firing, VERDICT_WEIGHT)
        self._join(Edge(rule, ("cause", said.id), "proves" if proves else "rules out", 0.8, not proves))

    def _draw_rule(self, firing: Firing, weight: float) -> Key:
        """A rule that settles a cause, and what it stood on."""
        key = self._add(Node(("rule", firing.rule), "rule", self._knowledge.name(firing.rule), weight))
        self._stands_on(key, firing, weight)
        return key

    def _stands_on(self, key: Key, firing: Firing, weight: float, against: bool = False) -> None:
        """Lines from what a rule stood on to what it says. The complaint stands behind everything and is left out."""
        for premise in firing.premises:
            if premise.kind != "complaint":
                self._join(Edge(self._draw_fact(premise, weight - STEP), key, against=against))

    def _draw_fact(self, fact: Fact, weight: float) -> Key:
        """A fact; one that rules found together with the first rule that found it."""
        key = _seen_key(self._knowledge, fact.id, fact.answer) if fact.answer else (fact.kind, fact.id)
        if key in self.nodes:
            return self._add(structs.replace(self.nodes[key], weight=weight))
        if fact in self._diagnosis.run.given:
            return self._add(Node(key, "seen", fact_words(self._knowledge, fact), weight))
        firing = next(f for f in self._diagnosis.run.firings if fact in f.facts)
        text = f"{fact_words(self._knowledge, fact)}\n(rule: {self._knowledge.name(firing.rule)})"
        self._add(Node(key, "finding", text, weight))
        self._stands_on(key, firing, weight)
        return key

    # -- what to do --------------------------------------------------------------------------------------

    def _draw_next(self) -> None:
        """The next check, the recommended path, or what else was decided; with lines from the causes it is about."""
        answers, knowledge, check = self._answers, self._knowledge, self._answers.next_check
        asked = f"NEXT CHECK\n{check.name}\n{minutes(check.minutes)}" if check else ""
        if asked and answers.decision.do == "look_further":
            text, causes, word = asked, list(self._causes)[:OTHER_EDGES], "told apart by"
        elif answers.decision.do == "repair":
            path = answers.repairs[0]
            actions = "\n".join(f"- {knowledge.name(action)}" for action in path.actions)
            text = f"REPAIR\n{actions}\nholds: {sure(path.p_hold)}\nhands-on {minutes(path.minutes)}"
            causes, word = [c for c in self._causes if self._cures(path, c)], "cured by"
        else:
            text = DECISION_WORDS[answers.decision.do].upper()
            causes, word = list(self._causes)[:1], ""
        if asked and text != asked:
            self._join(Edge(self._add(Node(("first",), "next", asked, KEPT)), ("next",)))
        key = self._add(Node(("next",), "next", text, KEPT))
        for cause in causes:
            self._join(Edge(("cause", cause), key, word))

    def _cures(self, path: RepairPath, cause: str) -> bool:
        """Whether a likely cause is cured by some action of the path."""
        place, cures = self._diagnosis.belief.causes.index(cause), self._diagnosis.means.cures
        likely = self._causes[cause].leaking >= CAUSES_FROM
        return likely and any(float(cures[action][place]) > 0 for action in path.actions)

    def _draw_orders(self) -> None:
        """Fit to drive, the holds that stand, and what rules bar altogether, each from what its rule stands on."""
        answers, name = self._answers, self._knowledge.name
        fit = answers.fit_to_drive
        if fit.by is not None:
            said = f"{FIT_WORDS[fit.answer].upper()}\n{fit.reason}\n(rule: {name(fit.by)})"
            self._draw_order(Node(("fit",), "fit", said, KEPT), fit.by, "fit", fit.answer)
        for hold in answers.holds[:HOLDS_SHOWN]:
            said = f"HOLD\n{hold.text}\n(rule: {name(hold.rule)})"
            self._draw_order(Node(("hold", hold.rule), "hold", said, KEPT), hold.rule, "hold", hold.text)
        self._count_rest("hold", "HOLD", len(answers.holds) - HOLDS_SHOWN)
        bans = [b for b in answers.forbidden if b.scope == "not at all" and b.action in self._knowledge.repairs]
        for ban in bans[:BARRED_SHOWN]:
            said = f"BARRED: {name(ban.action)}\n(rule: {name(ban.rule)})"
            self._draw_order(Node(("barred", ban.action), "barred", said, KEPT), ban.rule, "forbid", ban.action)
        self._count_rest("barred", "BARRED", len(bans) - BARRED_SHOWN)

    def _count_rest(self, kind: Kind, name: str, count: int) -> None:
        """What does not stand on the picture is at least counted."""
        if count > 0:
            self._add(Node((kind, "more"), kind, f"{name}: {count} more (leakdx diagnose)", KEPT))

    def _draw_order(self, node: Node, rule: str, field: str, value: str) -> None:
        """What a rule tells people, from what the rule stood on."""
        key = self._add(node)
        for firing in self._diagnosis.run.firings:
            if firing.rule == rule and any(getattr(said, field) == value for said in firing.says):
                self._stands_on(key, firing, ORDER_WEIGHT, node.kind == "barred")


def _seen_key(knowledge: Knowledge, id: str, answer: str) -> Key:
    """One node for a sign's reading and the verdict on it; otherwise one for each answer."""
    sign = knowledge.signs.get(id)
    return ("seen", id) if sign is not None and sign.measure is not None else ("seen", id, answer)
