"""The best repair paths as they are laid side by side: what, does it hold, how long, what it costs, what is first."""

from msgspec import Struct

from leakdx.explain.reasons import alike, bans_words
from leakdx.explain.words import hours, minutes, money, path_name, percent, sure
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.answer import RepairPath
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.repair import still_to_open

LEFT_SHOWN = 3
LETTERS = "ABC"
TOGETHER = "unless together with"


class PathCard(Struct, frozen=True, kw_only=True):
    """One path in words. ``minutes`` and ``waiting`` are empty where there are none.

    ``first``: what must be opened, looked at or written down before; ``barred``: what rules hold against its parts.
    """

    letter: str
    path: RepairPath
    name: str
    holds: str
    minutes: str
    waiting: str
    cost: str
    leaves: str
    first: tuple[str, ...]
    barred: tuple[str, ...]


def path_cards(diagnosis: Diagnosis) -> tuple[PathCard, ...]:
    """The best paths, in the order in which ``leakdx diagnose`` gives them."""
    return tuple(_card(diagnosis, path, letter) for letter, path in zip(LETTERS, diagnosis.repairs, strict=False))


def _card(diagnosis: Diagnosis, path: RepairPath, letter: str) -> PathCard:
    return PathCard(
        letter=letter,
        path=path,
        name=path_name(diagnosis.knowledge, path.actions),
        holds=sure(path.p_hold),
        minutes=minutes(path.minutes) if path.actions else "",
        waiting=hours(path.elapsed) if path.elapsed[1] else "",
        cost=money(path.expected_cost, diagnosis.shop.currency),
        leaves=left_words(diagnosis.knowledge, path),
        first=_first(diagnosis, path),
        barred=_barred(diagnosis, path),
    )


def left_words(knowledge: Knowledge, path: RepairPath) -> str:
    """What a path does not fix, the likeliest first."""
    shown = [f"{knowledge.name(c)} {percent(p)}" for c, p in path.leaves.items()]
    if not shown:
        return "does not fix: nothing that is likely"
    more = f"; and {len(shown) - LEFT_SHOWN} more" if len(shown) > LEFT_SHOWN else ""
    return f"does not fix: {', '.join(shown[:LEFT_SHOWN])}{more}"


def _first(diagnosis: Diagnosis, path: RepairPath) -> tuple[str, ...]:
    """Holds that stand before it, what has to be opened, and what has to be looked at and be good."""
    knowledge, looked = diagnosis.knowledge, diagnosis.timeline.looked
    repairs = [knowledge.repairs[action] for action in path.actions]
    access = [opening for repair in repairs for opening in repair.access]
    opens = still_to_open(knowledge, access, diagnosis.timeline.open)
    touched = {*path.actions, *opens, *(knowledge.openings[opening].act for opening in opens)}
    said = [f"HOLD: {hold.text}" for hold in diagnosis.holds if not touched.isdisjoint(hold.before)]
    said += [f"open: {o.name} ({minutes(o.minutes)})" for id, o in knowledge.openings.items() if id in opens]
    checks = dict.fromkeys(check for repair in repairs for check in repair.first_hold)
    said += [knowledge.name(check) for check in checks if looked.isdisjoint(knowledge.checks[check].reveals)]
    return tuple(said)


def _barred(diagnosis: Diagnosis, path: RepairPath) -> tuple[str, ...]:
    """How far rules hold back what is in the path; what they rule out altogether is in none."""
    mine = (ban for ban in diagnosis.forbidden if ban.action in path.actions)
    open_bans = (ban for ban in mine if ban.scope != TOGETHER or set(path.actions).isdisjoint(ban.other))
    return tuple(bans_words(diagnosis.knowledge, group) for group in alike(open_bans))


def barred_words(diagnosis: Diagnosis) -> tuple[str, ...]:
    """All that rules forbid on this truck, each with its rule."""
    name = diagnosis.knowledge.name
    groups = alike(diagnosis.forbidden)
    return tuple(f"{bans_words(diagnosis.knowledge, bans)} (rule: {name(bans[0].rule)})" for bans in groups)
