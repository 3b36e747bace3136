"""Times and costs as they are said to somebody who pays: rounded to what an estimate can bear."""

from math import ceil

from leakdx.explain.numbers import number
from leakdx.explain.words import counted, rounded
from leakdx.knowledge.entry import Range
from leakdx.knowledge.model import Shop

_HOURS_FROM = 120
"""Minutes from which a time is said in hours."""
_STEP, _LONG_STEP = 5, 30
"""Minutes to which a limit is rounded up, and those from two hours on."""


def spoken_cost(shop: Shop, minutes: Range, parts: float) -> str:
    """What the shop bills: labour for a range of minutes, and parts. The truck's own time is not in it."""
    low, high = (rounded(each / 60 * shop.labour_rate + parts) for each in minutes)
    upper = f" to {number(high, ',.0f')}" if high != low else ""
    return f"about {number(low, ',.0f')}{upper} {shop.currency}"


def spoken_time(minutes: Range) -> str:
    """Minutes as spoken, from two hours on in hours."""
    low, high = (round(each) for each in minutes)
    if high >= _HOURS_FROM:
        return spoken_hours((low / 60, high / 60))
    return f"{low} to {high} minutes" if low != high else counted(high, "minute")


def spoken_limit(minutes: float) -> str:
    """How far one may go, never less than what it may take."""
    step = _STEP if minutes < _HOURS_FROM else _LONG_STEP
    limit = ceil(minutes / step) * step
    return f"{limit} minutes" if limit < _HOURS_FROM else f"{number(limit / 60, 'g')} hours"


def spoken_hours(hours: Range) -> str:
    """Half hours are fine enough for a promise."""
    low, high = (round(2 * each) / 2 for each in hours)
    if low == high:
        return f"about {number(high, 'g')} hour{'' if high == 1 else 's'}"
    return f"about {number(low, 'g')} to {number(high, 'g')} hours" if low else f"up to {number(high, 'g')} hours"
