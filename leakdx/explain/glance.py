"""The answer at a glance: what stands at the head of a screen, and what one answer has moved.

Only what is quick is looked at here, the posterior and what rules say; no check and no repair is weighed.
"""

from typing import Literal

from msgspec import Struct

from leakdx.case import Case
from leakdx.explain.course import course_of, progress_words
from leakdx.explain.reasons import FIT_WORDS
from leakdx.explain.words import percent, sure
from leakdx.reasoning.answer import Hold
from leakdx.reasoning.conclude import decibans
from leakdx.reasoning.diagnosis import Diagnosis

MOVED_SHOWN = 3
RUNNERS_UP = 2
LEAST_MOVED = 0.005
"""A chance that changed by less is shown as the same whole percentage."""


class CauseNow(Struct, frozen=True):
    """A cause, its chance of having leaked when brought in, and by how much the last answer moved it, in decibans."""

    id: str
    name: str
    chance: float
    decibans: float = 0.0


class Moved(Struct, frozen=True):
    """A cause's chance of having leaked when brought in, before and after, and the change of its log-odds."""

    id: str
    name: str
    before: float
    after: float
    decibans: float


class Glance(Struct, frozen=True, kw_only=True):
    """A case at a glance. ``trouble``: why there is no answer; the rest is empty then."""

    unit: str
    fit: Literal["yes", "recheck", "no", "not_judged"] = "not_judged"
    fit_words: str = ""
    fit_reason: str = ""
    holds: tuple[Hold, ...] = ()
    where: str = ""
    leads: str = ""
    causes: tuple[CauseNow, ...] = ()
    """All of them, the likeliest first."""
    moved: tuple[str, ...] = ()
    """What the last answer changed, in words, the greatest change first."""
    trouble: str = ""
    entries: int = 0
    """Entries that stand."""
    work: str = ""
    """How far the repair is that was decided on; empty where none was."""


def glance(case: Case, now: Diagnosis, before: Diagnosis | None = None) -> Glance:
    """The case at a glance, with what has changed since ``before``."""
    fit = now.fit_to_drive
    return Glance(
        unit=case.unit or case.id,
        fit=fit.answer,
        fit_words=FIT_WORDS[fit.answer],
        fit_reason=fit.reason,
        holds=now.holds,
        where=_where(now),
        leads=_leads(now),
        causes=_causes(now, before),
        moved=() if before is None else (*_safety_moved(before, now), *_chances_moved(before, now)),
        entries=len(case.standing),
        work=progress_words(course_of(now.knowledge, case)),
    )


def _where(now: Diagnosis) -> str:
    """The likeliest place where it is clear, else the first few that could be."""
    zones = now.zones
    if now.clear_at.level != "none":
        return f"{zones[0].name}, {sure(zones[0].leaking_first)}"
    shown = [f"{zone.name} {percent(zone.leaking_first)}" for zone in zones[:RUNNERS_UP]]
    return f"not clear yet: {', '.join(shown)}"


def _leads(now: Diagnosis) -> str:
    """What leads and how sure that is; where nothing is clear that it only leads."""
    first, second = now.causes[0], now.causes[1]
    said = f"{first.name}, {sure(first.leaking_first)}"
    clear = now.clear_at.level == "cause"
    return said if clear else f"{said}; then {second.name}, {percent(second.leaking_first)}"


def _causes(now: Diagnosis, before: Diagnosis | None) -> tuple[CauseNow, ...]:
    was = {} if before is None else {cause.id: cause.leaking_first for cause in before.causes}
    return tuple(
        CauseNow(
            c.id,
            c.name,
            c.leaking_first,
            decibans(c.leaking_first) - decibans(was[c.id]) if c.id in was else 0.0,
        )
        for c in now.causes
    )


def _safety_moved(before: Diagnosis, now: Diagnosis) -> list[str]:
    """Fit to drive and holds that are other than they were: before any chance."""
    said = []
    if now.fit_to_drive.answer != before.fit_to_drive.answer:
        said.append(f"now {FIT_WORDS[now.fit_to_drive.answer]}")
    held = {hold.text for hold in before.holds}
    said += [f"new hold: {hold.text.rstrip('.')}" for hold in now.holds if hold.text not in held]
    return said


def moved(before: Diagnosis, now: Diagnosis) -> tuple[Moved, ...]:
    """The causes whose chance has changed, the greatest change first."""
    was = {cause.id: cause.leaking_first for cause in before.causes}
    rows = [
        Moved(c.id, c.name, was[c.id], c.leaking_first, decibans(c.leaking_first) - decibans(was[c.id]))
        for c in now.causes
        if c.id in was and abs(c.leaking_first - was[c.id]) >= LEAST_MOVED
    ]
    return tuple(sorted(rows, key=lambda row: -abs(row.after - row.before)))


def moved_words(row: Moved) -> str:
    """From, and to."""
    return f"{row.name} {percent(row.before)} -> {percent(row.after)}"


def _chances_moved(before: Diagnosis, now: Diagnosis) -> list[str]:
    """The causes whose chance has changed most: from, to, and the change of the log-odds."""
    return [f"{moved_words(row)} ({row.decibans:+.1f} dB)" for row in moved(before, now)[:MOVED_SHOWN]]


def safety_text(now: Diagnosis) -> str:
    """Fit to drive with its reason, then every hold in full."""
    fit = now.fit_to_drive
    rule = f" (rule: {now.knowledge.name(fit.by)})" if fit.by else ""
    held = [f"[ ] HOLD: {hold.text}" for hold in now.holds]
    return "\n".join([f"{FIT_WORDS[fit.answer].upper()}: {fit.reason}{rule}", "", *(held or ["No hold stands."])])
