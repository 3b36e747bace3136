"""How fast a posterior moves with one judged number: leakdx's straight lines beside differences through pyAgrum.

The reference builds its network anew from a tree in which that number is another one.
"""

from copy import deepcopy

import numpy as np
import pytest
from msgspec import structs

from leakdx.reasoning.belief import Belief, Model, compile_model
from leakdx.reasoning.evidence import Evidence
from leakdx.reasoning.judged import Judged, base_chances, times_odds, with_chance
from leakdx.reasoning.sensitivity import Posterior
from tests.published import tiny
from tests.published.asked import evidence_of, knowledge_of
from tests.published.reference import network
from tests.published.reference.reader import Story

STEP = 1e-4
YES, NO = (0.0, 1.0), (1.0, 0.0)
BASE = {"a": 0.2, "b": 0.1, "c": 0.15, "d": 0.12}
STORY = Story("joint", seen=(("drip", 0, YES), ("pits", 0, NO), ("stain", 0, (0.15, 1.0)), ("wet.hub", 0, YES)))
NUMBERS = (
    ("base", ("a",)),
    ("leaks", ("c",)),
    ("link", ("a", "drip", "yes")),
    ("link", ("b", "stain", "yes")),
    ("link", ("c", "pits", "yes")),
    ("stray", ("drip", "yes")),
    ("stray", ("stain", "yes")),
    ("place_link", ("wet",)),
    ("place_stray", ("reported",)),
    ("leads_to", ("a", "b")),
    ("at_zone", ("c", "hub")),
    ("path", ("hub", "joint")),
)


def tree() -> tiny.Tree:
    return tiny.tree(
        causes={
            "a": tiny.cause(0.2, shows={"drip": 0.8, "stain": 0.3}, leads_to={"b": 0.4}),
            "b": tiny.cause(0.1, shows={"stain": 0.6}),
            "c": tiny.cause(0.1, 0.7, "joint", shows={"drip": 0.5, "pits": 0.9}, also_zones={"hub": 0.6}),
            "d": tiny.cause(0.1, zone="hub"),
        },
        signs={"drip": tiny.sign(0.05), "pits": tiny.sign(0.02, "present"), "stain": tiny.sign(0.1)},
        zones={"joint": {}, "hub": {"joint": "trails along"}},
        complaint="joint",
    )


def changed(kind: str, of: tuple[str, ...], value: float) -> tuple[tiny.Tree, dict[str, float]]:
    """The tree, and the base chances, with this number in place of the one that it holds."""
    other, base, raw = deepcopy(tree()), dict(BASE), tiny.raw(value)
    match kind:
        case "base":
            base[of[0]] = value
        case "leaks":
            other["causes"][of[0]]["leaks"] = raw
        case "link":
            other["causes"][of[0]]["shows"][of[1]] = raw
        case "stray":
            other["signs"][of[0]]["stray"] = raw
        case "place_link" | "place_stray":
            other["words"]["place_signs"][of[0]][kind.removeprefix("place_")] = raw
        case "leads_to":
            other["causes"][of[0]]["leads_to"][of[1]] = raw
        case "at_zone":
            other["causes"][of[0]]["also_zones"][of[1]] = raw
        case "path":
            other["words"]["transfers"]["trails along"] = repr(value)
    return other, base


def by_agrum(kind: str, of: tuple[str, ...], value: float) -> np.ndarray:
    """P(leaks) of every cause by the reference."""
    other, base = changed(kind, of, value)
    found, _ = network.cause_marginals(tiny.meaning(other), base, STORY)
    return np.array([found[cause][0] for cause in BASE])


def stated(model: Model, kind: str, of: tuple[str, ...]) -> float:
    match kind:
        case "base":
            return float(base_chances(model)[model.index[of[0]]])
        case "leaks":
            return float(model.leaks[model.index[of[0]]])
        case "link":
            return float(dict(model.signs[of[1]].parents)[model.index[of[0]]][1])
        case "stray":
            return float(model.signs[of[0]].stray[1])
        case "place_link":
            return model.places[of[0]].link
        case "place_stray":
            return float(model.places[of[0]].stray[1])
        case "leads_to":
            return dict(model.parents[model.index[of[1]]])[model.index[of[0]]]
        case "at_zone":
            return dict(model.zone_causes[of[1]])[model.index[of[0]]]
        case _:
            return dict(model.into[of[1]])[of[0]]


def posterior(model: Model, evidence: Evidence) -> Posterior:
    belief = Belief(model, evidence)
    return Posterior(belief.log_evidence, belief.leaking_first, belief.leaking, belief.quiet, np.ones(1))


@pytest.mark.parametrize(("kind", "of"), NUMBERS, ids=lambda part: part if isinstance(part, str) else ".".join(part))
def test_slope_of_every_kind_of_number(kind: str, of: tuple[str, ...]) -> None:
    own = tree()
    model = compile_model(knowledge_of(own), BASE)
    evidence = evidence_of(tiny.meaning(own), STORY)
    value = stated(model, kind, of)
    judged = Judged(kind, of, value)  # type: ignore[arg-type]
    ends = [times_odds(value, factor) for factor in (1 / 20, 20.0)]
    low, high = (posterior(with_chance(model, judged, end), evidence) for end in ends)

    def on_the_line(at: float) -> np.ndarray:
        return low.mixed(high, (at - ends[0]) / (ends[1] - ends[0])).leaking

    step = min(STEP, value / 2)
    ours = (on_the_line(value + step) - on_the_line(value - step)) / (2 * step)
    theirs = (by_agrum(kind, of, value + step) - by_agrum(kind, of, value - step)) / (2 * step)
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-8)
    assert np.abs(theirs).max() > 1e-4
    assert on_the_line(value) == pytest.approx(posterior(structs.replace(model), evidence).leaking, abs=1e-12)
