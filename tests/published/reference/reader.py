"""Reads folders of knowledge YAML into the few numbers that the model's meaning needs."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import yaml

NOT_LISTED = "not_listed"
SURE_WORDS = ("always", "surely")
Tree = Mapping[str, Any]
LOADER: type[yaml.BaseLoader] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
"""Every scalar as it is written; by the C library where there is one."""


@dataclass(frozen=True)
class Cause:
    """One cause; probabilities. ``shows``: written sign -> chance of asking for each rank (rank 0 left out)."""

    id: str
    family: str
    share: float
    leaks: float
    lets_out: Mapping[str, float]
    shows: Mapping[str, Mapping[int, float]]
    leads_to: Mapping[str, float]
    only_if: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Sign:
    """A written sign: outcomes in rank order, the chance of a stray for each rank, what it hangs on."""

    id: str
    outcomes: tuple[str, ...]
    strays: tuple[float, ...]
    hangs_on: str
    measure: Mapping[str, float | str] | None = None


@dataclass(frozen=True)
class Zone:
    """Where oil comes out, and how often it gets from there to other places."""

    id: str
    paths: Mapping[str, float]
    is_place: bool
    active: bool


@dataclass(frozen=True)
class Meaning:
    """Everything that a posterior hangs on. "Not listed here" stands among the causes, last, if there."""

    causes: Mapping[str, Cause]
    signs: Mapping[str, Sign]
    zones: Mapping[str, Zone]
    places: tuple[str, ...]
    place_signs: Mapping[str, tuple[float, float]]
    """Kind of place sign -> (link, stray)."""
    history: Mapping[str, Mapping[str, Mapping[str, float]]]
    """Group -> answer -> cause -> decibans."""
    common: Mapping[str, Mapping[str, float]]
    """Group -> answer -> how common (its part of 1)."""
    acts: Mapping[str, Mapping[str, float]]
    """Act or repair -> cause -> chance that it cures it."""
    renews: Mapping[str, frozenset[str]]
    complaint: str
    drying: frozenset[str] = frozenset()
    """Acts after which every place is dry until a drive."""
    on_first_drive: float = 1.0
    """How often what takes a path has come to its end by that drive."""

    @cached_property
    def elders_first(self) -> tuple[str, ...]:
        """Causes so ordered that what leads to a cause stands before it."""
        order: list[str] = []
        while len(order) < len(self.causes):
            ready = [c for c in self.causes if c not in order and all(p in order for p in self.parents(c))]
            if not ready:
                raise ValueError("causes lead to one another in a circle")
            order += ready
        return tuple(order)

    def parents(self, child: str) -> dict[str, float]:
        """What leads to ``child``, with the strength."""
        return {c.id: c.leads_to[child] for c in self.causes.values() if child in c.leads_to}

    def told(self, facts: Mapping[str, str]) -> tuple[dict[str, float], frozenset[str]]:
        """History facts (group -> answer) as decibans per cause, and the causes that they make impossible."""
        decibans: dict[str, float] = {}
        for group, answer in facts.items():
            for cause, shift in self.history[group][answer].items():
                decibans[cause] = decibans.get(cause, 0.0) + shift
        impossible = frozenset(
            c.id
            for c in self.causes.values()
            for g, wanted in c.only_if.items()
            if g in facts and facts[g] not in wanted
        )
        return decibans, impossible


@dataclass(frozen=True)
class Story:
    """What is known of one truck, apart from the complaint at ``complaint``.

    ``acts``: for each act, in order, (cause -> chance that it is cured, signs that are renewed); each starts
    an epoch. ``seen``: (sign, epoch, likelihood per rank).
    """

    complaint: str
    decibans: Mapping[str, float] = field(default_factory=dict)
    impossible: frozenset[str] = frozenset()
    acts: tuple[tuple[Mapping[str, float], frozenset[str]], ...] = ()
    seen: tuple[tuple[str, int, tuple[float, ...]], ...] = ()

    @property
    def epochs(self) -> int:
        """How many epochs there are."""
        return len(self.acts) + 1


def load(*folders: Path) -> Meaning:
    """Knowledge of the folders, later ones laid over earlier ones field by field."""
    merged: dict[str, Any] = {}
    for folder in folders:
        for path in sorted(folder.rglob("*.yaml")):
            _lay_over(merged, yaml.load(path.read_text("utf-8"), Loader=LOADER) or {})
    return understand(merged)


def _lay_over(below: dict[str, Any], above: Tree) -> None:
    """Add ``above`` to ``below``: kinds are joined, entries of the same id have their fields replaced."""
    for kind, entries in above.items():
        if not isinstance(entries, dict):
            below[kind] = entries
        elif kind == "words":
            below.setdefault(kind, {}).update(entries)
        else:
            for id_, entry in entries.items():
                below.setdefault(kind, {}).setdefault(id_, {}).update(entry)


def understand(tree: Tree) -> Meaning:
    """The meaning of one mapping kind -> id -> fields, every scalar still text."""
    words = tree["words"]
    signs = {id_: _sign(words, id_, entry) for id_, entry in tree.get("signs", {}).items()}
    zones = {id_: _zone(words, id_, entry) for id_, entry in tree["zones"].items()}
    causes = {id_: _cause(words, signs, id_, entry) for id_, entry in tree["causes"].items()}
    families: dict[str, list[str]] = {}
    for cause in causes.values():
        families.setdefault(cause.family, []).append(cause.id)
    if tree.get("has_not_listed", "true") == "true":
        causes[NOT_LISTED] = _not_listed(words, signs, zones)
    actions = {**tree.get("acts", {}), **tree.get("repairs", {})}
    return Meaning(
        causes=causes,
        signs=signs,
        zones=zones,
        places=(*(z.id for z in zones.values() if z.is_place), *tree.get("places", {})),
        place_signs={
            kind: (_link(words, s["link"]), _stray(words, s["stray"])) for kind, s in words["place_signs"].items()
        },
        history={group: _answers(words, families, entry) for group, entry in tree.get("history", {}).items()},
        common={
            group: {answer: float(a["common"]) / 100 for answer, a in entry["answers"].items()}
            for group, entry in tree.get("history", {}).items()
        },
        acts={
            id_: _spread(families, {c: _link(words, w) for c, w in entry.get("cures", {}).items()})
            for id_, entry in actions.items()
        },
        renews={id_: frozenset(entry.get("renews", ())) for id_, entry in actions.items()},
        complaint=tree["complaint"],
        drying=frozenset(id_ for id_, entry in actions.items() if entry.get("needs_driving") == "true"),
        on_first_drive=_link(words, words.get("on_first_drive", "always")),
    )


def _link(words: Tree, strength: Any) -> float:
    if isinstance(strength, dict):
        return float(strength["value"])
    return 1.0 if strength in SURE_WORDS else float(words["links"][strength])


def _stray(words: Tree, strength: Any) -> float:
    return float(strength["value"]) if isinstance(strength, dict) else float(words["strays"][strength])


def _shift(words: Tree, strength: Any) -> float:
    if isinstance(strength, dict):
        return float(strength["value"])
    degree, direction = strength.rsplit(" ", 1)
    return float(words["shifts"][degree]) * {"more": 1.0, "less": -1.0}[direction]


def _sign(words: Tree, id_: str, entry: Tree) -> Sign:
    results = entry.get("results")
    if results:
        abnormal = [_stray(words, result["stray"]) for result in list(results.values())[1:]]
        outcomes = tuple(results)
    else:
        abnormal, outcomes = [_stray(words, entry["stray"])], ("no", "yes")
    measure = entry.get("measure")
    if measure:
        numbers = {k: float(measure[k]) for k in ("limit", "median", "factor", "gauge")}
        measure = {**numbers, "unit": measure["unit"], "beyond": measure["beyond"]}
    return Sign(id_, outcomes, (1.0 - sum(abnormal), *abnormal), entry["hangs_on"], measure)


def _zone(words: Tree, id_: str, entry: Tree) -> Zone:
    paths = {place: float(words["transfers"][word]) for place, word in entry.get("paths", {}).items()}
    return Zone(id_, paths, entry.get("is_place", "true") == "true", entry.get("active", "true") == "true")


def _cause(words: Tree, signs: Mapping[str, Sign], id_: str, entry: Tree) -> Cause:
    shows: dict[str, dict[int, float]] = {s: {1: _link(words, w)} for s, w in entry.get("shows", {}).items()}
    for look, asked in entry.get("looks", {}).items():
        shows[look] = {signs[look].outcomes.index(result): _link(words, w) for result, w in asked.items()}
    also = {z: _link(words, w) for z, w in entry.get("also_zones", {}).items()}
    return Cause(
        id=id_,
        family=entry["family"],
        share=float(entry["share"]) / 100,
        leaks=_link(words, entry["leaks"]),
        lets_out={entry["zone"]: _link(words, entry.get("at_zone", "always")), **also},
        shows=shows,
        leads_to={c: _link(words, w) for c, w in entry.get("leads_to", {}).items()},
        only_if={g: tuple(answers) for g, answers in entry.get("only_if", {}).items()},
    )


def _not_listed(words: Tree, signs: Mapping[str, Sign], zones: Mapping[str, Zone]) -> Cause:
    """The weak parent of every sign: two states, a zone of its own, a little of everything else."""
    stated = words["not_listed"]
    elsewhere = float(stated["elsewhere"])
    nowhere = stated.get("nowhere", ())
    lets_out = {z.id: elsewhere for z in zones.values() if z.active and z.id not in nowhere}
    lets_out.update({zone: _link(words, strength) for zone, strength in stated.get("also", {}).items()})
    lets_out[stated["zone"]] = _link(words, stated["joint"])
    shows = {}
    for sign in signs.values():
        abnormal = range(1, len(sign.outcomes))
        shows[sign.id] = {rank: elsewhere / len(abnormal) for rank in abnormal}
    return Cause(NOT_LISTED, stated["family"], float(stated["share"]) / 100, 1.0, lets_out, shows, {}, {})


def _spread(families: Mapping[str, Iterable[str]], numbers: Mapping[str, float]) -> dict[str, float]:
    """Numbers given for causes or families, as numbers for causes; several for one cause: its own word wins."""
    spread = {c: number for key, number in numbers.items() for c in families.get(key, ())}
    return {**spread, **{key: number for key, number in numbers.items() if key not in families}}


def _answers(words: Tree, families: Mapping[str, Iterable[str]], entry: Tree) -> dict[str, dict[str, float]]:
    return {
        answer: _spread(families, {c: _shift(words, w) for c, w in stated.get("shifts", {}).items()})
        for answer, stated in entry["answers"].items()
    }
