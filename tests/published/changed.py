"""Knowledge changed in memory, to see what is lost when the one who diagnoses was told something else."""

import hashlib
import math
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
from msgspec import structs

from leakdx.knowledge.entry import (
    Link,
    Raw,
    Stray,
)
from leakdx.knowledge.model import Answer, Cause, Group, Knowledge, Result, Sign
from leakdx.knowledge.without import without
from leakdx.marks import INVENTED

MOST_OF_A_LOOK = 0.95
"""What the words of one cause for one look, or the strays of one look, may sum to."""


def without_cause(knowledge: Knowledge, cause: str, *, with_its_signs: bool = False) -> Knowledge:
    """One cause never heard of, the other shares scaled back to the old sum.

    ``with_its_signs``: nor the signs that no other cause shows, so that nobody thinks of looking at them.
    """
    own = [sign for sign, causes in knowledge.shown_by.items() if causes == {cause}] if with_its_signs else []
    left = without(knowledge, [("causes", cause), *(("signs", sign) for sign in own)])
    scale = 1 + knowledge.causes[cause].share / sum(c.share for c in left.causes.values())
    return structs.replace(
        left, causes={id: structs.replace(c, share=c.share * scale) for id, c in left.causes.items()}
    )


def with_history_off(knowledge: Knowledge, factor: float, seed: Iterable[int]) -> Knowledge:
    """How common each history answer is, off in its odds by a random factor up to ``factor`` either way."""
    rng = np.random.default_rng(list(seed))

    def group(entry: Group) -> Group:
        raw = {a: _moved(answer.common / 100, rng, factor) for a, answer in entry.answers.items()}
        answers: dict[str, Answer] = {
            a: structs.replace(answer, common=100 * raw[a] / sum(raw.values())) for a, answer in entry.answers.items()
        }
        return structs.replace(entry, answers=answers)

    history = {id: group(entry) for id, entry in knowledge.history.items()}
    return _renamed(structs.replace(knowledge, history=history), f"history {factor} {list(seed)}")


def with_odds_off(knowledge: Knowledge, factor: float, seed: Iterable[int]) -> Knowledge:
    """Every link, stray, transfer and share off in its odds by a random factor up to ``factor`` either way.

    Factors are drawn log-uniform, one for each number where it stands and not for each word. The sum of the
    shares is kept, since it alone decides how often a right repair holds; what is sure stays sure. Cures and
    prices stay: they are about repairs, not about what is there.
    """
    rng = np.random.default_rng(list(seed))
    causes = {id: _cause_off(knowledge, cause, rng, factor) for id, cause in knowledge.causes.items()}
    scale = sum(c.share for c in knowledge.causes.values()) / sum(c.share for c in causes.values())
    words = knowledge.words
    return _renamed(
        structs.replace(
            knowledge,
            causes={id: structs.replace(c, share=c.share * scale) for id, c in causes.items()},
            signs={id: _sign_off(knowledge, sign, rng, factor) for id, sign in knowledge.signs.items()},
            words=structs.replace(
                words,
                transfers={word: _moved(chance, rng, factor) for word, chance in words.transfers.items()},
                place_signs={
                    kind: structs.replace(
                        sign,
                        link=_link(knowledge, sign.link, rng, factor),
                        stray=_stray(knowledge, sign.stray, rng, factor),
                    )
                    for kind, sign in words.place_signs.items()
                },
            ),
        ),
        f"odds {factor} {list(seed)}",
    )


def _cause_off(knowledge: Knowledge, cause: Cause, rng: np.random.Generator, factor: float) -> Cause:
    def links(written: Mapping[str, Link]) -> dict[str, Any]:
        return {id: _link(knowledge, strength, rng, factor) for id, strength in written.items()}

    looks = {}
    for look, asked in cause.looks.items():
        chances = [_moved(knowledge.link(strength), rng, factor) for strength in asked.values()]
        looks[look] = {r: _raw(c) for r, c in zip(asked, _within(chances), strict=True)}
    return structs.replace(
        cause,
        share=100 * _moved(cause.share / 100, rng, factor),
        leaks=_link(knowledge, cause.leaks, rng, factor),
        at_zone=_link(knowledge, cause.at_zone, rng, factor),
        also_zones=links(cause.also_zones),
        shows=links(cause.shows),
        leads_to=links(cause.leads_to),
        looks=looks,
    )


def _sign_off(knowledge: Knowledge, sign: Sign, rng: np.random.Generator, factor: float) -> Sign:
    if sign.place:
        return sign
    if not sign.results:
        return structs.replace(sign, stray=_stray(knowledge, sign.stray, rng, factor))
    chances = _within([_moved(knowledge.stray(r.stray), rng, factor) for r in list(sign.results.values())[1:]])
    strays: list[Raw | None] = [None, *map(_raw, chances)]
    results: dict[str, Result] = {
        id: structs.replace(result, stray=stray)
        for (id, result), stray in zip(sign.results.items(), strays, strict=True)
    }
    return structs.replace(sign, results=results)


def _link(knowledge: Knowledge, strength: Link, rng: np.random.Generator, factor: float) -> Raw:
    return _raw(_moved(knowledge.link(strength), rng, factor))


def _stray(knowledge: Knowledge, strength: Stray | None, rng: np.random.Generator, factor: float) -> Raw:
    return _raw(_moved(knowledge.stray(strength), rng, factor))


def _moved(chance: float, rng: np.random.Generator, factor: float) -> float:
    """The chance with its odds times a factor between 1/factor and factor, log-uniform."""
    drawn = math.exp(rng.uniform(-math.log(factor), math.log(factor)))
    return chance if chance in (0.0, 1.0) else chance * drawn / (1 - chance + chance * drawn)


def _within(chances: list[float]) -> list[float]:
    """Chances of one look that exclude one another, scaled where together they would be too many."""
    return [chance * min(1.0, MOST_OF_A_LOOK / max(sum(chances), 1e-9)) for chance in chances]


def _raw(chance: float) -> Raw:
    return Raw(chance, INVENTED, "Moved at random, to see what that costs.")


def _renamed(knowledge: Knowledge, change: str) -> Knowledge:
    return structs.replace(knowledge, hash=hashlib.sha256(f"{knowledge.hash} {change}".encode()).hexdigest())
