"""A small knowledge and short logs for tests of timeline and rules; every name is invented for the demo."""

from collections.abc import Mapping
from typing import Any

from leakdx.case import Case, LogEntry
from leakdx.knowledge.actions import Conclusion, Condition, Finding, Repair, Rule, Stratum
from leakdx.knowledge.entry import (
    NotListedWords,
    PlaceSign,
    Words,
)
from leakdx.knowledge.model import (
    Act,
    Answer,
    Axle,
    Cause,
    Caution,
    Check,
    Family,
    Group,
    Knowledge,
    Measure,
    Opening,
    Place,
    Result,
    Sign,
    Zone,
)
from leakdx.marks import INVENTED

MARKED: dict[str, Any] = {"mark": INVENTED, "reason": "a test"}


def _words() -> Words:
    strength = PlaceSign("mostly", "rarely")
    return Words(
        links={"mostly": 0.8, "seldom": 0.12},
        strays={"rarely": 0.005},
        shifts={"clearly": 6.0},
        transfers={"runs down": 0.8},
        place_signs={"reported": strength, "wet": strength, "origin": strength, "trail": strength},
        not_listed=NotListedWords("something else", "unknown", 2.0, "joint", "mostly", 0.06),
        **MARKED,
    )


def _cause(name: str, family: str, zone: str) -> Cause:
    return Cause(name=name, plain=name, family=family, share=40.0, leaks="always", zone=zone, **MARKED)


def _sign(name: str, **fields: Any) -> Sign:
    return Sign(name=name, hangs_on="leaking", stray="rarely", **fields, **MARKED)


def _check(name: str, *reveals: str, access: tuple[str, ...] = ()) -> Check:
    return Check(name=name, question=name, how=("look",), minutes=(1.0, 2.0), access=access, reveals=reveals, **MARKED)


def _repair(name: str, **fields: Any) -> Repair:
    return Repair(
        name=name, plain=name, minutes=(10.0, 20.0), proof="dry", recheck="look in a week", **fields, **MARKED
    )


def _limit() -> Measure:
    return Measure(
        unit="in", limit=0.005, beyond="above", median=0.003, factor=2.0, gauge=0.0005, highest=0.1, **MARKED
    )


def _signs() -> dict[str, Sign]:
    return {
        "crust": _sign("dust crust"),
        "pits": _sign("pits on the face"),
        "level": _sign("level on arrival"),
        "torque": Sign(
            name="torque pattern",
            hangs_on="present",
            results={
                "even": Result("even"),
                "one_low": Result("one low", "rarely"),
                "all_low": Result("all", "rarely"),
            },
            **MARKED,
        ),
        "flatness": _sign("face out of flat", measure=_limit()),
        "wet.joint": _sign("wet at the joint", place=("wet", "joint")),
        "wet.seal": _sign("wet at the seal", place=("wet", "seal")),
        "origin.joint": _sign("comes out at the joint", place=("origin", "joint")),
    }


def workshop(rules: Mapping[str, Rule] | None = None, **kinds: Any) -> Knowledge:
    """The small knowledge, with these rules and any kind replaced."""
    fields: dict[str, Any] = {
        "hash": "workshop",
        "words": _words(),
        "sources": {},
        "zones": {"joint": Zone(name="joint", **MARKED), "seal": Zone(name="seal", **MARKED)},
        "places": {"below": Place(name="below", **MARKED)},
        "families": {name: Family(name=name, **MARKED) for name in ("bond", "seals", "spill", "unknown")},
        "causes": {
            "residue": _cause("residue", "bond", "joint"),
            "skin": _cause("skin", "bond", "joint"),
            "worn_seal": _cause("worn seal", "seals", "seal"),
            "old_spill": _cause("old spill", "spill", "joint"),
        },
        "signs": _signs(),
        "history": {
            "sealing": Group(
                name="sealing",
                question="what seals it?",
                answers={"paste": Answer(name="paste", common=60.0), "sheet": Answer(name="sheet", common=40.0)},
                fitted=True,
                **MARKED,
            ),
            "closed_by": Group(
                name="closed by",
                question="who closed it?",
                answers={"us": Answer(name="us", common=50.0), "others": Answer(name="others", common=50.0)},
                **MARKED,
            ),
        },
        "instruments": {},
        "cautions": {
            "heavy": Caution(name="heavy", text="It is heavy.", **MARKED),
            "fire": Caution(name="fire", text="It burns.", **MARKED),
        },
        "openings": {
            "clean": Opening(name="clean", minutes=(10.0, 20.0), act="washed", spoils=("crust",), **MARKED),
            "driven_since": Opening(name="driven", minutes=(30.0, 60.0), act="driven", **MARKED),
            "apart": Opening(name="apart", minutes=(60.0, 90.0), spoils=("torque",), **MARKED),
        },
        "acts": {
            "washed": Act(
                name="washed",
                cures={"old_spill": "surely"},
                closes=("driven_since",),
                spoils=("wet.joint", "wet.seal"),
                needs_driving=True,
                **MARKED,
            ),
            "driven": Act(name="driven", drives=True, **MARKED),
            "drained": Act(name="drained", spoils=("level",), **MARKED),
        },
        "checks": {
            "look_where": _check("where is it wet?", "wet.joint", "wet.seal"),
            "look_crust": _check("is there a crust?", "crust"),
            "look_level": _check("how high is the oil?", "level"),
            "look_again": _check("where first?", "origin.joint", access=("clean", "driven_since")),
            "look_torque": _check("torque of each", "torque"),
            "open_it": _check("look at the faces", "pits", "flatness", access=("apart",)),
        },
        "repairs": {
            "reseal": _repair(
                "reseal", cures={"bond": "mostly", "skin": "seldom"}, closes="sealant", access=("apart",)
            ),
            "new_seal": _repair("new seal", cures={"worn_seal": "surely"}),
            "fill_up": _repair("fill up"),
        },
        "findings": {f"finding{i}": Finding(name=f"finding {i}", **MARKED) for i in range(8)},
        "rules": rules or {},
        "axles": {"plain": Axle(name="plain", fitted={"sealing": "sheet"}, **MARKED)},
        "shops": {},
        "complaint": "joint",
    }
    return Knowledge(**{**fields, **kinds})


def rule(stratum: Stratum, when: list[Condition], *then: Conclusion) -> Rule:
    """A rule with nothing but what it says."""
    return Rule(name="a rule", stratum=stratum, when=tuple(when), then=then, **MARKED)


def truck(*log: LogEntry, axle: str | None = None) -> Case:
    """A case that came in wet at the joint."""
    return Case(id="KD-0001", complaint="joint", axle=axle, log=log)
