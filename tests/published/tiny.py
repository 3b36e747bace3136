"""Tiny knowledges for tests, written as the same YAML that authors write, with raw numbers for words.

A tree is a mapping kind -> id -> fields. Numbers stand as themselves: ``plain`` turns them into the
``{value, mark, reason}`` that a raw number needs, and adds what an entry must carry.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from tests.published.reference.reader import LOADER, Meaning, understand

Tree = dict[str, Any]
DUMPER: type[yaml.SafeDumper] = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
SAID = {"mark": "invented for the demo", "reason": "made for a test"}
JOINT = "joint"
NOWHERE = "nowhere"
"""A place that no oil reaches: a complaint there says nothing, so shares are base chance times leaks."""
SHOP = {
    "currency": "dollars",
    "labour_rate": "140",
    "downtime_rate": "60",
    "comeback_cost": "900",
    "stop_and_ask_price": "2500",
    "second_visit_minutes": "30",
    "floor_minutes": "30",
    "quiet_starts": "0.15",
    "new_leak": {"gasket": "0.03", "sealant": "0.06"},
    "recheck_days": "14",
}


def raw(value: float) -> Tree:
    """A number in place of a word."""
    return {"value": repr(float(value)), **SAID}


def _raws(numbers: Mapping[str, float]) -> Tree:
    return {key: raw(value) for key, value in numbers.items()}


def cause(
    share: float,
    leaks: float = 1.0,
    zone: str = JOINT,
    *,
    family: str = "bond",
    shows: Mapping[str, float] | None = None,
    looks: Mapping[str, Mapping[str, float]] | None = None,
    also_zones: Mapping[str, float] | None = None,
    leads_to: Mapping[str, float] | None = None,
    only_if: Mapping[str, list[str]] | None = None,
) -> Tree:
    """A cause; ``share`` is a part of 1 here."""
    return {
        "plain": "something failed",
        "family": family,
        "share": repr(share * 100),
        "leaks": "always" if leaks == 1 else raw(leaks),
        "zone": zone,
        "shows": _raws(shows or {}),
        "looks": {look: _raws(asked) for look, asked in (looks or {}).items()},
        "also_zones": _raws(also_zones or {}),
        "leads_to": _raws(leads_to or {}),
        "only_if": dict(only_if or {}),
    }


def sign(stray: float, hangs_on: str = "leaking") -> Tree:
    """A sign that is so or not."""
    return {"hangs_on": hangs_on, "stray": raw(stray)}


def look(strays: Mapping[str, float | None], hangs_on: str = "present") -> Tree:
    """A look: results in order, the first without a stray."""
    results = {r: {"name": r} | ({} if s is None else {"stray": raw(s)}) for r, s in strays.items()}
    return {"hangs_on": hangs_on, "results": results}


def group(answers: Mapping[str, tuple[float, Mapping[str, float]]]) -> Tree:
    """A history group: answer -> (how common, cause -> decibans)."""
    return {
        "question": "which?",
        "answers": {a: {"name": a, "common": repr(c * 100), "shifts": _raws(s)} for a, (c, s) in answers.items()},
    }


def tree(
    *,
    causes: Mapping[str, Tree],
    signs: Mapping[str, Tree] | None = None,
    zones: Mapping[str, Mapping[str, str]] | None = None,
    places: tuple[str, ...] = (),
    history: Mapping[str, Tree] | None = None,
    acts: Mapping[str, Mapping[str, float]] | None = None,
    transfers: Mapping[str, float] | None = None,
    place_signs: Mapping[str, tuple[float, float]] | None = None,
    complaint: str = NOWHERE,
    not_listed: Tree | None = None,
) -> Tree:
    """A whole knowledge. Zones: zone -> place -> transfer word. Families are those that causes name."""
    strengths = dict.fromkeys(("reported", "wet", "origin", "trail"), (0.95, 0.001)) | dict(place_signs or {})
    families = dict.fromkeys([c["family"] for c in causes.values()] + ["unknown"])
    words = {
        "links": {"nearly always": "0.95"},
        "strays": {"never": "0.001"},
        "shifts": {"clearly": "6"},
        "transfers": {word: repr(p) for word, p in (transfers or {"trails along": 0.35}).items()},
        "place_signs": {k: {"link": raw(link), "stray": raw(stray)} for k, (link, stray) in strengths.items()},
        "not_listed": not_listed or unlisted(0.02, 0.5, 0.05, next(iter(zones or {JOINT: {}}))),
        **SAID,
    }
    kinds: dict[str, Mapping[str, Mapping[str, Any]]] = {
        "zones": {z: {"paths": dict(paths)} for z, paths in (zones or {JOINT: {}}).items()},
        "places": {p: {} for p in (NOWHERE, *places)},
        "families": {f: {} for f in families},
        "causes": causes,
        "signs": signs or {},
        "history": history or {},
        "acts": {a: {"cures": _raws(cures)} for a, cures in (acts or {}).items()},
    }
    named = {kind: {i: {"name": i, **SAID, **entry} for i, entry in entries.items()} for kind, entries in kinds.items()}
    shops = {"shop": {"name": "a shop", **SAID, **SHOP}}
    listed = "true" if not_listed else "false"
    return {"words": words, **named, "shops": shops, "complaint": complaint, "has_not_listed": listed}


def unlisted(share: float, joint: float, elsewhere: float, zone: str = JOINT) -> Tree:
    """The words of "not listed here"; ``share`` is a part of 1 here."""
    return {
        "name": "not listed here",
        "family": "unknown",
        "share": repr(share * 100),
        "zone": zone,
        "joint": raw(joint),
        "elsewhere": repr(elsewhere),
    }


def meaning(of: Tree) -> Meaning:
    """The reference's reading of a tree, through YAML text as from a file."""
    return understand(yaml.load(_written(of), Loader=LOADER))


def write(of: Tree, folder: Path) -> Path:
    """The tree as a knowledge folder; returns it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "all.yaml").write_text(_written(of), "utf-8")
    return folder


def _written(of: Tree) -> str:
    return str(yaml.dump(of, Dumper=DUMPER, sort_keys=False))
