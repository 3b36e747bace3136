"""A compiled knowledge some times as large: zones, their causes and signs copied, "not listed here" one for all.

``python -m tests.benchmarks.larger`` prints how many times as long all marginals then take, cold.
"""

from collections.abc import Mapping
from statistics import median

import numpy as np
from msgspec import structs

from leakdx.knowledge.model import NOT_LISTED
from leakdx.reasoning.compiled import Array, Model, SignLinks, Strength
from tests.benchmarks.marginals import Shipped, cold, evidence, seconds

TIMES = 10
BAR = 15.0
TRUCKS = 8


def larger(model: Model, times: int) -> Model:
    """The model with that many copies of every zone, cause and sign; names of the first copy stay as they are."""
    own = [c for c in model.causes if c != NOT_LISTED]
    causes = (*(_named(c, copy) for copy in range(times) for c in own), NOT_LISTED)
    index = {c: i for i, c in enumerate(causes)}

    def moved(cause: int, copy: int) -> int:
        return index[NOT_LISTED] if model.causes[cause] == NOT_LISTED else index[_named(model.causes[cause], copy)]

    def strengths(given: tuple[Strength, ...], copy: int) -> tuple[Strength, ...]:
        return tuple((moved(cause, copy), chance) for cause, chance in given)

    def copied(array: Array) -> Array:
        return np.array([array[model.index[c.split("#")[0]]] for c in causes])

    def links(sign: SignLinks, copy: int) -> SignLinks:
        none = np.ones(len(causes))
        for cause, asks in sign.parents:
            none[moved(cause, copy)] = asks[0]
        return structs.replace(sign, parents=tuple((moved(c, copy), a) for c, a in sign.parents), none=none)

    copies = range(times)
    into: Mapping[str, tuple[tuple[str, float], ...]] = {
        place: tuple((_named(z, copy), chance) for copy in copies for z, chance in ways)
        for place, ways in model.into.items()
    }
    signs = {_named(s, copy): entry for copy in copies for s, entry in model.knowledge.signs.items()}
    return structs.replace(
        model,
        knowledge=structs.replace(model.knowledge, signs=signs, hash=""),
        causes=causes,
        index=index,
        shares=copied(model.shares),
        leaks=copied(model.leaks),
        log_odds=copied(model.log_odds),
        zones=tuple(_named(z, copy) for copy in copies for z in model.zones),
        zone_causes={_named(z, copy): strengths(own, copy) for copy in copies for z, own in model.zone_causes.items()},
        into=into,
        parents={moved(c, copy): strengths(own, copy) for copy in copies for c, own in model.parents.items()},
        members={f: tuple(dict.fromkeys(moved(c, copy) for copy in copies for c in own))
                 for f, own in model.members.items()},
        signs={_named(s, copy): links(own, copy) for copy in copies for s, own in model.signs.items()},
    )  # fmt: skip


def ratios(trucks: int, yes: int = 5) -> list[float]:
    """How many times as long the larger one takes, for each evidence."""
    shipped = Shipped.read()
    large = larger(shipped.model, TIMES)
    told = [evidence(shipped.knowledge, yes, seed)[0] for seed in range(trucks)]
    return [seconds(lambda e=e: cold(large, e)) / seconds(lambda e=e: cold(shipped.model, e), 9) for e in told]  # type: ignore[misc]


def _named(id: str, copy: int) -> str:
    return f"{id}#{copy}" if copy else id


if __name__ == "__main__":
    found = ratios(TRUCKS)
    print(f"knowledge {TIMES} times as large, 5 yes, cold: {median(found):.1f} times as long (bar {BAR:g})")
