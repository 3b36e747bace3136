"""Random small knowledges and stories, the same YAML for leakdx and for the reference."""

from typing import Any

import numpy as np

from tests.published import tiny
from tests.published.reference import shares
from tests.published.reference.reader import NOT_LISTED, Meaning, Story

STRENGTHS = (0.95, 0.8, 0.6, 0.35, 0.12, 0.03)
STRAYS = (0.001, 0.005, 0.02, 0.07, 0.2)
WORDS = {"runs down": 0.6, "blows back": 0.35, "trails along": 0.12}
SHIFTS = (-10.0, -6.0, -3.0, 3.0, 6.0, 10.0)


class Drawing:
    """Draws one knowledge; every piece of the model turns up in some of them."""

    def __init__(self, rng: np.random.Generator, causes: tuple[int, int] = (3, 7)) -> None:
        self.rng = rng
        self.causes = [f"c{i}" for i in range(rng.integers(*causes, endpoint=True))]
        self.zones = [f"z{i}" for i in range(rng.integers(2, 4, endpoint=True))]
        self.signs = {f"s{i}": self._sign() for i in range(rng.integers(2, 6, endpoint=True))}
        self.groups = {f"g{i}": self._group() for i in range(rng.integers(0, 2, endpoint=True))}

    def _some(self, things: list[str], chance: float) -> list[str]:
        return [t for t in things if self.rng.random() < chance]

    def _sign(self) -> tiny.Tree:
        hangs_on = str(self.rng.choice(["present", "leaking"]))
        if self.rng.random() < 0.3:
            results = ["good", *(f"r{i}" for i in range(1, self.rng.integers(3, 4, endpoint=True)))]
            strays = [None, *(float(self.rng.choice(STRAYS)) for _ in results[1:])]
            return tiny.look(dict(zip(results, strays, strict=True)), hangs_on)
        return tiny.sign(float(self.rng.choice(STRAYS)), hangs_on)

    def _group(self) -> tiny.Tree:
        answers = {}
        for answer, common in (("this", 0.5), ("that", 0.3), ("other", 0.2)):
            shifted = self._some(self.causes, 0.4)
            answers[answer] = (common, {c: float(self.rng.choice(SHIFTS)) for c in shifted})
        return tiny.group(answers)

    def _cause(self, number: int) -> tiny.Tree:
        zone, *others = (str(z) for z in self.rng.permutation(self.zones))
        made: dict[str, Any] = {"shows": {}, "looks": {}}
        for sign in self._some(list(self.signs), 0.5):
            results = self.signs[sign].get("results")
            if results:
                asked = self._some(list(results)[1:], 0.7)
                made["looks"][sign] = {r: 0.9 / len(asked) * float(self.rng.random()) for r in asked}
            else:
                made["shows"][sign] = float(self.rng.choice(STRENGTHS))
        needs = self._some(list(self.groups), 0.2)
        return tiny.cause(
            0.01,
            float(self.rng.choice([1.0, 0.8, 0.35])),
            zone,
            family=str(self.rng.choice(["bond", "clamp", "faces"])),
            also_zones={z: float(self.rng.choice(STRENGTHS)) for z in self._some(others, 0.25)},
            leads_to={c: float(self.rng.choice(STRENGTHS)) for c in self._some(self.causes[number + 1 :], 0.2)},
            only_if={g: ["this", "that"] for g in needs},
            **made,
        )

    def tree(self) -> tiny.Tree:
        """The whole knowledge, with shares still to be filled in."""
        places = ["under", *self.zones]
        paths = {
            z: {p: str(self.rng.choice(list(WORDS))) for p in self._some(places, 0.5) if p != z} for z in self.zones
        }
        paths[self.zones[0]]["under"] = "runs down"
        strengths = {kind: (float(self.rng.choice(STRENGTHS[:4])), 0.005) for kind in ("wet", "origin", "trail")}
        unlisted = tiny.unlisted(0.02, 0.6, 0.06, self.zones[0]) if self.rng.random() < 0.5 else None
        return tiny.tree(
            causes={c: self._cause(i) for i, c in enumerate(self.causes)},
            signs=self.signs,
            zones=paths,
            places=("under",),
            history=self.groups,
            transfers=WORDS,
            place_signs={"reported": (0.95, 0.001), **strengths},
            complaint=str(self.rng.choice([*self.zones, "under"])),
            not_listed=unlisted,
        )


def draw(rng: np.random.Generator, causes: tuple[int, int] = (3, 7)) -> tuple[tiny.Tree, dict[str, float]]:
    """A knowledge and its true base chances. Its shares follow from these and sum to more than 1, up to 1.3."""
    while True:
        of = Drawing(rng, causes).tree()
        meaning = tiny.meaning(of)
        base = {c: float(10 ** rng.uniform(-1.9, -0.5)) for c in meaning.causes}
        stated = shares.after_complaint(meaning, base)
        if 1.01 < sum(stated.values()) < 1.29:
            for cause, share in stated.items():
                where = of["words"]["not_listed"] if cause == NOT_LISTED else of["causes"][cause]
                where["share"] = repr(share * 100)
            return of, base


def draw_story(meaning: Meaning, rng: np.random.Generator) -> tuple[Story, dict[str, str]]:
    """A random story and the history facts told in it: up to two acts, answers sure, fairly sure and graded."""
    told = {g: str(rng.choice(list(answers))) for g, answers in meaning.history.items() if rng.random() < 0.5}
    decibans, impossible = meaning.told(told)
    listed = [c for c in meaning.causes if c != NOT_LISTED]
    acts = []
    for _ in range(rng.choice([0, 0, 1, 2])):
        cures = {c: float(rng.choice([1.0, 0.95, 0.6])) for c in listed if rng.random() < 0.5}
        acts.append((cures, frozenset(s for s in meaning.signs if rng.random() < 0.2)))
    askable = [*meaning.signs, *(f"wet.{p}" for p in meaning.places), *(f"origin.{z}" for z in meaning.zones)]
    askable += [f"trail.{z.id}.{p}" for z in meaning.zones.values() for p in z.paths]
    seen = []
    for sign in askable:
        for epoch in range(len(acts) + 1):
            if rng.random() < 0.35:
                ranks = len(meaning.signs[sign].outcomes) if sign in meaning.signs else 2
                seen.append((sign, epoch, _likelihood(rng, ranks)))
    return Story(meaning.complaint, decibans, impossible, tuple(acts), tuple(seen)), told


def _likelihood(rng: np.random.Generator, ranks: int) -> tuple[float, ...]:
    other = float(rng.choice([0.0, 0.0, 0.15]))
    if rng.random() < 0.1:
        return tuple(rng.uniform(0.05, 1.0, ranks).tolist())
    answer = rng.integers(ranks)
    return tuple(1.0 if rank == answer else other for rank in range(ranks))
