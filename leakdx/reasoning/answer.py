"""What a diagnosis says: plain immutable structs, which are also the shape of ``diagnose --json``.

Probabilities are in 0..1, money in the shop's currency, times in minutes unless a name says hours.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

EVEN_CHANCE = 0.5
Level = Literal["cause", "family", "zone", "none"]


class FitToDrive(Struct, frozen=True):
    """``by``: the rule that decided; None when not judged."""

    answer: Literal["yes", "recheck", "no", "not_judged"]
    reason: str
    by: str | None


class Hold(Struct, frozen=True):
    """Stop before ``before`` until what ``record`` names is written down."""

    text: str
    before: tuple[str, ...]
    record: tuple[str, ...]
    rule: str


class Likelihood(Struct, frozen=True):
    """P(zone) or P(family): any of it leaking, now and when brought in."""

    id: str
    name: str
    leaking: float
    leaking_first: float


class CauseBelief(Struct, frozen=True):
    """One cause. ``contributors``: its parents and the history that raised it, as ids."""

    id: str
    name: str
    leaking: float
    leaking_first: float
    present: float
    present_first: float
    """There when brought in, leaking or quiet."""
    contributors: tuple[str, ...]


class ClearAt(Struct, frozen=True):
    """The finest level at which the answer is clear."""

    level: Level
    id: str | None
    name: str | None
    probability: float | None


class LikelySet(Struct, frozen=True):
    """Exactly these causes leaked when brought in."""

    causes: tuple[str, ...]
    probability: float


class ObservationWeight(Struct, frozen=True):
    """One answer and what it did to each cause's log-odds as it was entered, in decibans."""

    entry: int
    id: str
    name: str
    answer: str
    answer_name: str
    sure: str
    epoch: int
    decibans: Mapping[str, float]


class WorkedOut(Struct, frozen=True):
    """What raw readings of an entry came to for one sign, by the readings alone (a value: with what is usual of it).

    ``chances``: answer -> chance; ``answer``: the middle of them; ``said``: what was worked out, in words.
    """

    entry: int
    id: str
    name: str
    answer: str
    answer_name: str
    said: str
    chances: Mapping[str, float]


class NoneOfThese(Struct, frozen=True):
    """``warn`` when "not listed here" stands above .1."""

    warn: bool
    probability: float


class Outcome(Struct, frozen=True):
    """One joint result of a check, its chance, and what it would point to.

    ``repair``: the cheapest path then, which holds with ``p_hold``. Below an even chance nothing is repaired on it.
    ``then``: the check that is worth making next, where the plan looked so far ahead and one is.
    """

    answers: Mapping[str, str]
    probability: float
    leader: str
    leader_probability: float
    repair: tuple[str, ...]
    p_hold: float
    then: str | None = None

    @property
    def decides(self) -> bool:
        """Whether one would repair, or release, on it."""
        return self.then is None and self.p_hold >= EVEN_CHANCE


class RunnerUp(Struct, frozen=True):
    """The check that would be made first otherwise, and the money that this costs more in expectation."""

    id: str
    dearer: float


class NextCheck(Struct, frozen=True):
    """The check worth its minutes. ``opens``: access not yet there, with its minutes inside ``minutes``.

    ``runner_up``: where it was chosen for its worth, over another one that is worth something.
    """

    id: str
    name: str
    question: str
    how: tuple[str, ...]
    tools: tuple[str, ...]
    minutes: tuple[float, float]
    access_minutes: tuple[float, float]
    opens: tuple[str, ...]
    cautions: tuple[str, ...]
    spoils: tuple[str, ...]
    net_value: float
    per_minute: float
    why: str
    outcomes: tuple[Outcome, ...]
    runner_up: RunnerUp | None = None


class RepairPath(Struct, frozen=True):
    """A set of actions done together. ``leaves``: what it does not fix, most likely first (id -> chance after).

    What a rule has ruled out is not named there.
    """

    actions: tuple[str, ...]
    p_hold: float
    expected_cost: float
    own_cost: float
    minutes: tuple[float, float]
    elapsed: tuple[float, float]
    leaves: Mapping[str, float]


class Forbidden(Struct, frozen=True):
    """An action that a rule forbids, and how far."""

    action: str
    rule: str
    scope: str
    say: str
    of: tuple[str, ...] = ()
    other: tuple[str, ...] = ()


class Said(Struct, frozen=True):
    """A caution, something to put right, or a demand, with the rule that says so."""

    id: str
    text: str
    rule: str


class Decision(Struct, frozen=True):
    """``do``: look further, repair, release with a recheck date, or stop and ask the maker."""

    do: Literal["look_further", "repair", "release_and_recheck", "stop_and_ask"]
    reason: str
    rules: tuple[str, ...] = ()


class Doubted(Struct, frozen=True):
    """A doubt that stands: of which instrument or act, as stated and by all that is known, and what relies on it."""

    entry: int
    id: str
    name: str
    chance: float
    bad: float
    entries: tuple[int, ...]


class Returned(Struct, frozen=True):
    """The truck came back wet at a place; what is said of "when brought in" is of the last time."""

    entry: int
    id: str
    name: str


class Answers(Struct, frozen=True, kw_only=True):
    """The whole answer to a case."""

    case: str
    version: str
    knowledge: str
    fit_to_drive: FitToDrive
    holds: tuple[Hold, ...]
    zones: tuple[Likelihood, ...]
    families: tuple[Likelihood, ...]
    causes: tuple[CauseBelief, ...]
    clear_at: ClearAt
    undecided_between: tuple[str, ...]
    sets: tuple[LikelySet, ...]
    observations: tuple[ObservationWeight, ...]
    worked_out: tuple[WorkedOut, ...]
    could_be_none_of_these: NoneOfThese
    at_hand: float | None
    """Minutes that there were for looking; None: as many as it takes."""
    decision: Decision
    next_check: NextCheck | None
    other_checks: tuple[NextCheck, ...]
    repairs: tuple[RepairPath, ...]
    forbidden: tuple[Forbidden, ...]
    put_right: tuple[Said, ...]
    required: tuple[Said, ...]
    cautions: tuple[Said, ...]
    established: Mapping[str, str]
    """cause -> rule."""
    excluded: Mapping[str, str]
    doubts: tuple[Doubted, ...]
    comebacks: tuple[Returned, ...]
