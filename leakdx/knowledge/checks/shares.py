"""Shares among wet axles: their sum, and whether each can be met at all (own derivation).

Write x for the chance that an axle is reported wet, and of a cause: s its share, p its chance to leak, r
how often it leaks when present, l how surely its leaking is reported. Then s x = p P(reported | it leaks),
and that chance is at most l + (1 - l) x, so p >= s x / (l + (1 - l) x). Causes that stand by themselves
fail to be reported with at least the product of (1 - p l), so the sum of p l is at most -log(1 - x), and

    sum of s l / (l + (1 - l) x)  <=  -log(1 - x) / x.

The left side falls with x and the right side grows: where the shares sum to more than 1, x has a floor.
From p <= r and s x <= p every share then has a ceiling, r / x, known before anything is solved. The
solver itself may still find a share out of reach.
"""

from collections.abc import Iterable
from math import log1p

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.faults import Code
from leakdx.knowledge.model import Cause

FEWEST, MOST = 100.0, 130.0
"""The sum of shares, of 100 axles: each wet axle leaks somewhere, and few leak in two places."""


def check_common(ground: Ground) -> None:
    """How common the answers of a group are, of 100 axles reported wet."""
    for id, group in ground.history.items():
        total = sum(answer.common for answer in group.answers.values())
        if ground.is_sound("history", id) and abs(total - 100) > 0.5:
            wrong = f"the answers of '{id}' are common in {total:g} of 100 axles together"
            ground.fault(Code.SUM_OF_COMMON, wrong, "make them sum to 100", "history", id, "answers")


def sum_of_shares(causes: Iterable[Cause], not_listed: float) -> float:
    """Mean count of leaking causes per 100 wet axles."""
    return sum(cause.share for cause in causes) + not_listed


def check_shares(ground: Ground) -> None:
    """The sum of shares, each share's ceiling, and its floor by what leads to it."""
    if not ground.causes or not ground.is_whole("causes") or (ground.has_not_listed and ground.words is None):
        return
    not_listed = ground.words.not_listed.share if ground.words and ground.has_not_listed else 0.0
    total = sum_of_shares(ground.causes.values(), not_listed)
    if not FEWEST < total <= MOST:
        wrong = f"the shares sum to {total:g} of 100 wet axles"
        right = f"make them sum to more than {FEWEST:g} (each leaks somewhere) and at most {MOST:g}"
        ground.fault(Code.SUM_OF_SHARES, wrong, right, "causes", next(iter(ground.causes)), "share")
        return
    _check_ceilings(ground)
    _check_floors(ground)


def _check_ceilings(ground: Ground) -> None:
    chance = least_chance_of_report(_standing_alone(ground))
    for id, cause in ground.causes.items():
        leaks = ground.link(cause.leaks)
        if leaks is not None and cause.share / 100 * chance > leaks:
            wrong = f"a share of {cause.share:g} for '{id}' cannot be met: it leaks with {leaks:g} when present"
            right = f"lower the share below {100 * leaks / chance:.1f}, or let it leak more often"
            ground.fault(Code.SHARE_NOT_MET, wrong, right, "causes", id, "share")


def _standing_alone(ground: Ground) -> list[tuple[float, float]]:
    """(share, chance that its leaking is reported) of causes that neither lead to others nor are led to."""
    led = {child for cause in ground.causes.values() for child in cause.leads_to}
    alone = [c for id, c in ground.causes.items() if not c.leads_to and id not in led]
    pairs = [(cause.share / 100, reported(ground, cause)) for cause in alone]
    return [(share, chance) for share, chance in pairs if chance is not None]


def reported(ground: Ground, cause: Cause) -> float | None:
    """Chance that the complaint is made when this cause alone leaks; None where a word is not known."""
    if ground.words is None:
        return None
    words = {cause.zone: cause.at_zone, **cause.also_zones}
    zones = {zone: ground.link(word) for zone, word in words.items()}
    dry = 1.0
    for zone, out in zones.items():
        arrives = 1.0 if zone == ground.complaint else _transfer(ground, zone)
        if out is None or arrives is None:
            return None
        dry *= 1 - out * arrives
    sign = ground.words.place_signs.get("reported")
    link = None if sign is None else ground.link(sign.link)
    return None if link is None else (1 - dry) * link


def _transfer(ground: Ground, zone: str) -> float | None:
    if ground.words is None or zone not in ground.zones or ground.complaint is None:
        return None
    word = ground.zones[zone].paths.get(ground.complaint)
    return 0.0 if word is None else ground.words.transfers.get(word)


def least_chance_of_report(pairs: Iterable[tuple[float, float]]) -> float:
    """The least x at which causes that stand by themselves can have these shares; 0 where any x will do."""
    able = [(share, link) for share, link in pairs if link > 0]

    def is_possible(x: float) -> bool:
        return sum(share * link / (link + (1 - link) * x) for share, link in able) <= -log1p(-x) / x

    low, high = 1e-9, 1 - 1e-9
    if is_possible(low):
        return 0.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (low, middle) if is_possible(middle) else (middle, high)
    return low


def _check_floors(ground: Ground) -> None:
    """A cause leaks at least as often as the one cause that most often brings it about makes it leak."""
    for parent_id, parent in ground.causes.items():
        for child_id, word in parent.leads_to.items():
            child = ground.causes.get(child_id)
            link, leaks = ground.link(word), None if child is None else ground.link(child.leaks)
            if child is None or link is None or leaks is None or parent.share * link * leaks <= child.share:
                continue
            floor = parent.share * link * leaks
            wrong = (
                f"'{parent_id}' alone makes '{child_id}' leak in {floor:.1f} of 100, above its share of {child.share:g}"
            )
            right = "raise the share, or weaken the link that leads to it"
            ground.fault(Code.SHARE_NOT_MET, wrong, right, "causes", child_id, "share")
