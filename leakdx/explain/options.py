"""The ways to go on as a customer chooses between them: what is done, time, cost, and how likely it comes back."""

from collections.abc import Sequence

from msgspec import Struct

from leakdx.explain.plain import plain_words
from leakdx.explain.spoken import spoken_cost, spoken_hours, spoken_time
from leakdx.explain.words import tenths
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import RepairPath
from leakdx.reasoning.diagnosis import Diagnosis

NOTHING = "Nothing is repaired now."
RUNS_LOW = "An axle that runs low on oil wears out from inside, and oil on a brake or on the road is a danger."
"""Common practice, no source."""
_NONE = "none"


class Option(Struct, frozen=True):
    """One way, each part in words. ``comes_back``: the chance that it is wet again, or still."""

    what: str
    work: str
    waiting: str
    cost: str
    comes_back: str


def customer_options(diagnosis: Diagnosis) -> tuple[Option, ...]:
    """The paths of the answer, the recommended one first; what happens if nothing is done last, if it is one."""
    return tuple(_option(diagnosis, path) for path in sorted(diagnosis.answers.repairs, key=lambda p: not p.actions))


def _option(diagnosis: Diagnosis, path: RepairPath) -> Option:
    comes_back = tenths(1 - path.p_hold)
    if not path.actions:
        return Option(NOTHING, _NONE, _NONE, "nothing now", comes_back)
    waiting = spoken_hours(path.elapsed) if path.elapsed[1] else _NONE
    what, cost = done_in_plain(diagnosis.knowledge, path.actions), billed(diagnosis, path)
    return Option(what, spoken_time(path.minutes), waiting, cost, comes_back)


def done_in_plain(knowledge: Knowledge, actions: Sequence[str]) -> str:
    """What repairs do, in plain words."""
    repairs = [knowledge.repairs[action] for action in actions]
    repairs.sort(key=lambda repair: repair.closes is None)  # "the joint is opened" before what is done in it
    return " ".join(plain_words(knowledge.words.plain, repair.plain) for repair in repairs)


def billed(diagnosis: Diagnosis, path: RepairPath) -> str:
    """What a path costs in labour and parts, as spoken."""
    parts = sum(diagnosis.knowledge.repairs[action].parts for action in path.actions)
    return spoken_cost(diagnosis.shop, path.minutes, parts)


def if_nothing_is_done(diagnosis: Diagnosis) -> str:
    """What happens otherwise: how likely it leaks on; of a truck that may not be driven that it stays."""
    if diagnosis.fit_to_drive.answer == "no":
        return "The truck stays where it stands until it is repaired."
    zones = diagnosis.knowledge.zones
    chance = max(zone.leaking for zone in diagnosis.zones if zones[zone.id].active)
    return f"That it leaks on: {tenths(chance)}. {RUNS_LOW}"
