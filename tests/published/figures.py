"""From worked trucks to figures: each a number per truck, so that its mean has a standard error."""

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tests.published.worked import Outcome, Refused

GROUPS = 10
FIRST = 3


class Figure(NamedTuple):
    """A mean over so many trucks, with its standard error; both NaN where there is none."""

    mean: float
    error: float
    number: int


@dataclass(frozen=True)
class Measure:
    """A column: what it is called, a number per truck (None: says nothing of it), and decimals shown."""

    title: str
    of: Callable[[Outcome], float | None]
    decimals: int = 3


def brier(outcome: Outcome) -> float:
    """Squared distance between what was said of each cause and what was so, over all causes, unknown ones too."""
    said = dict(outcome.ranked)
    return sum((said.get(c, 0.0) - (c in outcome.leaked)) ** 2 for c in {*said, *outcome.leaked})


def _taken(value: Callable[[Outcome], float]) -> Callable[[Outcome], float | None]:
    """Only of trucks that were repaired or released."""
    return lambda o: None if o.stopped else value(o)


MEASURES = (
    Measure("first leaked", lambda o: o.leader in o.leaked),
    Measure("one of first three leaked", lambda o: any(c in o.leaked for c, _ in o.ranked[:FIRST])),
    Measure("Brier", brier),
    Measure("P(hold) said", _taken(lambda o: o.said)),
    Measure("held", _taken(lambda o: o.held)),
    Measure("said less held", _taken(lambda o: o.said - o.held)),
    Measure("right repair", _taken(lambda o: o.right)),
    Measure("above knowing", lambda o: o.above, 0),
    Measure("wrong cause at .6", lambda o: o.wrongly_sure is not None),
    Measure("above knowing, then", lambda o: o.above if o.wrongly_sure else None, 0),
    Measure("none of these said", lambda o: o.warned),
    Measure("stopped to ask", lambda o: o.stopped),
    Measure("cost of looking", lambda o: o.looking, 0),
)


def figure(numbers: Iterable[float | None]) -> Figure:
    """Mean and standard error of those that say something."""
    some = np.array([float(n) for n in numbers if n is not None])
    if not some.size:
        return Figure(float("nan"), float("nan"), 0)
    error = float(some.std(ddof=1) / np.sqrt(some.size)) if some.size > 1 else float("nan")
    return Figure(float(some.mean()), error, some.size)


def row(outcomes: Sequence[Outcome]) -> list[str]:
    """One cell for each measure."""
    return [cell(figure(map(measure.of, outcomes)), measure.decimals) for measure in MEASURES]


def cell(said: Figure, decimals: int = 3) -> str:
    """The mean, and behind ± its standard error."""
    if not said.number:
        return "-"
    error = "?" if math.isnan(said.error) else f"{said.error:.{decimals}f}"
    shown = f"{said.mean:.{decimals}f} ± {error}"
    return re.sub(r"\b0\.", ".", shown)


def worked(drawn: Iterable[Outcome | Refused]) -> list[Outcome]:
    """Trucks that got an answer."""
    return [o for o in drawn if isinstance(o, Outcome)]


def repaired(drawn: Iterable[Outcome | Refused]) -> list[Outcome]:
    """Those that leakdx would repair or release; where it stops and asks, nothing is said to hold."""
    return [o for o in worked(drawn) if not o.stopped]


def gap(outcomes: Sequence[Outcome]) -> float:
    """Said mean P(hold) less the part that held."""
    return figure(o.said - o.held for o in outcomes).mean


def groups(outcomes: Sequence[Outcome]) -> list[tuple[Figure, Figure]]:
    """(said, held) of ten equal-count groups in order of what was said."""
    order = sorted(outcomes, key=lambda o: o.said)
    parts = [order[len(order) * i // GROUPS : len(order) * (i + 1) // GROUPS] for i in range(GROUPS)]
    return [(figure(o.said for o in part), figure(o.held for o in part)) for part in parts if part]


def belief_groups(outcomes: Sequence[Outcome]) -> list[tuple[Figure, Figure]]:
    """(said, so) over all causes of all trucks, by what was said: below .1, below .2 and so on."""
    parts: list[list[tuple[float, bool]]] = [[] for _ in range(GROUPS)]
    for outcome in outcomes:
        for cause, said in outcome.ranked:
            parts[min(int(said * GROUPS), GROUPS - 1)].append((said, cause in outcome.leaked))
    return [(figure(said for said, _ in part), figure(so for _, so in part)) for part in parts if part]


def by_cause(outcomes: Sequence[Outcome]) -> Mapping[str, list[Outcome]]:
    """Cause -> the trucks in which it leaked, dearest in all first."""
    found: dict[str, list[Outcome]] = {}
    for outcome in outcomes:
        for cause in outcome.leaked:
            found.setdefault(cause, []).append(outcome)
    return dict(sorted(found.items(), key=lambda item: -sum(o.above for o in item[1])))


def taken_for(outcomes: Sequence[Outcome], most: int = 3) -> str:
    """What led where nothing that leaked did, most often first, with how often."""
    wrong = Counter(o.leader for o in outcomes if o.leader not in o.leaked)
    return ", ".join(f"{cause} {count}" for cause, count in wrong.most_common(most))


def sure_of(outcomes: Sequence[Outcome], most: int = 2) -> str:
    """The wrong causes that stood clear, most often first, with how often."""
    wrong = Counter(o.wrongly_sure for o in outcomes if o.wrongly_sure)
    return ", ".join(f"{cause} {count}" for cause, count in wrong.most_common(most))
