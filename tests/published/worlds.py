"""The worlds of the simulation: what trucks are drawn from, what the one who diagnoses was told, who writes it down."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cache, partial

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.shares import ShareError
from tests.published.changed import with_history_off, with_odds_off, without_cause
from tests.published.truth import Truth, truth_of

DRAWS = 10
"""Different truths in a world whose numbers are off; trucks take turns among them."""
MOST_ATTEMPTS = 50
UNKNOWN, FORGOTTEN = "unknown", "forgotten"
"""Worlds in which one cause was never heard of; ``forgotten``: nor the signs that only it shows."""


@dataclass(frozen=True)
class World:
    """``told``: the knowledge that diagnoses. ``draw``: a truth by number below DRAWS. ``leaks``: in all its trucks."""

    name: str
    says: str
    told: Knowledge
    draw: Callable[[int], Truth]
    wrong: float = 0.0
    blind: float = 0.0
    leaks: str | None = None

    def truth(self, number: int) -> Truth:
        """What a truck of this number is drawn from."""
        return self.draw(number % DRAWS)


NAMES = ("unchanged", "wrong_answers", "blind_spot", "history_off", "odds_2", "odds_3")
"""Worlds without one of a single cause, in the order of the table."""


@cache
def world(name: str) -> World:
    """A world by name; ``unknown:CAUSE`` and ``forgotten:CAUSE`` leave one cause out of what is told.

    Raises KeyError for a name that is none.
    """
    kind, _, cause = name.partition(":")
    if cause:
        return _without(kind, cause)
    same = World(name, "", _as_told().knowledge, _as_told)
    return {
        "unchanged": lambda: replace(same, says="trucks are as the knowledge says"),
        "wrong_answers": lambda: replace(same, says="5 in 100 answers, told or looked for, are wrong", wrong=0.05),
        "blind_spot": lambda: replace(same, says="with 1 truck in 5 a quarter of all looks is overlooked", blind=0.2),
        "history_off": lambda: replace(same, says="history answers commoner or rarer, odds up to 3", draw=_history_off),
        "odds_2": lambda: replace(same, says="all odds off by up to 2", draw=partial(odds_off, 2)),
        "odds_3": lambda: replace(same, says="all odds off by up to 3", draw=partial(odds_off, 3)),
    }[name]()


def _without(kind: str, cause: str) -> World:
    same = world("unchanged")
    says = {UNKNOWN: f"{cause} is unknown", FORGOTTEN: f"{cause} is unknown, and its own signs"}[kind]
    told = without_cause(same.told, cause, with_its_signs=kind == FORGOTTEN)
    return replace(same, name=f"{kind}:{cause}", says=says, told=told, leaks=cause)


def _as_told(_: int = 0) -> Truth:
    return _unchanged()


@cache
def _unchanged() -> Truth:
    return truth_of(load_knowledge([shipped_folder()]))


@cache
def _history_off(draw: int) -> Truth:
    """Base chances are those of the knowledge as told: only what is told of trucks changes."""
    told = _unchanged()
    return replace(truth_of(with_history_off(told.knowledge, 3, (draw,))), base=told.base)


@cache
def odds_off(factor: int, draw: int) -> Truth:
    """Drawn again while no base chances can bring the shares about: a cause that others bring oftener than it leaks."""
    for attempt in range(MOST_ATTEMPTS):
        with suppress(ShareError):
            return truth_of(with_odds_off(_unchanged().knowledge, factor, (factor, draw, attempt)))
    raise ValueError(f"No draw of odds off by up to {factor} can be so.")
