"""How sure the answer is, given that its numbers are judgements: what it hangs on, and how often it stands."""

from collections.abc import Sequence

from leakdx.explain.numbers import number
from leakdx.explain.page import USUAL, Page
from leakdx.explain.words import money, path_name, percent
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.diagnosis import Diagnosis
from leakdx.reasoning.sensitivity import Hang, Stands
from leakdx.reasoning.uncertain import Uncertain

SHOWN = 6
"""Numbers shown for each of the two choices."""
WORTH_SAYING = 20.0
_COUNTED = {2: "two times", 3: "three times", 4: "four times", 5: "five times", 6: "six times", 8: "eight times",
            10: "ten times"}  # fmt: skip
_ROUND = 0.08
"""How far a ratio may be from a whole number that is said for it."""
_SEEN = {
    "reported": "an axle wet at the joint is reported so",
    "wet": "a wet place is seen wet",
    "origin": "where oil comes out is seen to be so",
    "trail": "a trail is seen",
}
_STRAY = {
    "reported": "an axle dry at the joint is reported wet",
    "wet": "a dry place is taken for wet",
    "origin": "oil is seen to come out where none does",
    "trail": "a trail is seen where there is none",
}
_AMOUNTS = {
    "labour_rate": "an hour of labour costs",
    "downtime_rate": "an hour of the truck standing costs",
    "comeback_cost": "a comeback costs",
    "stop_and_ask_price": "stopping to ask the maker costs",
}


def how_sure_text(diagnosis: Diagnosis, hangs: Sequence[Hang], together: Uncertain | None, width: int = USUAL) -> str:
    """Both choices with the numbers that would change them, the weightiest first."""
    page = Page(width)
    case = diagnosis.case
    page.title(" - ".join(part for part in (f"How sure: {case.id}", case.unit) if part))
    if together is None:
        page.say(
            "The rules leave no repair for the truck as it stands, so there is no choice to hang on anything.", "", 0
        )
        return page.text()
    knowledge = diagnosis.knowledge
    leader, path = diagnosis.answers.causes[0], diagnosis.repairs[0]
    page.head("Likeliest cause", knowledge.name(leader.id))
    page.say(_stood(together, together.leader_stands, "stays the likeliest"))
    page.say(f"Its chance, {percent(leader.leaking_first)}, is between {_between(together.p_leader)} in four of five.")
    _others(page, [(knowledge.name(c), n) for c, n in together.leaders if c != leader.id], together.draws)
    _say_hangs(page, knowledge, diagnosis.shop.currency, hangs, leader.id)
    page.head("Repair", path_name(knowledge, path.actions))
    page.say(_stood(together, together.repair_stands, "stays the choice"))
    page.say(f"It holds with {percent(path.p_hold)}, between {_between(together.p_hold)} in four of five.")
    others = [(_changed(knowledge, path.actions, a), n) for a, n in together.repairs if a != path.actions]
    _others(page, others, together.draws)
    _say_hangs(page, knowledge, diagnosis.shop.currency, hangs, path.actions)
    page.blank()
    page.say(
        "One number at a time, all others held, its odds (or itself, where it is money or hours) up to "
        f"{WORTH_SAYING:.0f} times smaller or larger. In the draws all numbers are off together, two in three within a "
        "factor of two. What rules say hangs on no number.",
        indent=0,
    )
    return page.text()


def _stood(together: Uncertain, part: float, what: str) -> str:
    return f"With every number uncertain at once it {what} in {round(part * together.draws)} of {together.draws} draws."


def _between(span: tuple[float, float]) -> str:
    low, high = (percent(end) for end in span)
    return f"{low} and {high}"


def _others(page: Page, found: Sequence[tuple[str, int]], draws: int) -> None:
    if found:
        said = "; ".join(f"{name} in {count} of {draws}" for name, count in found[:3])
        page.say(f"Otherwise: {said}.")


def _say_hangs(
    page: Page, knowledge: Knowledge, currency: str, hangs: Sequence[Hang], now: str | tuple[str, ...]
) -> None:
    """The numbers that would change the cause (a string) or the repair (its actions) of today."""
    sides = [(hang, hang.leader if isinstance(now, str) else hang.repair) for hang in hangs]
    turning = [(side.factor(hang.value, hang.is_chance), hang, side) for hang, side in sides]
    turning = sorted((one for one in turning if one[0] <= WORTH_SAYING), key=lambda one: one[0])
    if not turning:
        page.say("No single number changes that.")
        return
    page.say("It stands unless")
    said = dict.fromkeys(_unless(knowledge, currency, hang, side, now) for _, hang, side in turning)
    page.bullets(list(said)[:SHOWN], indent=4)


def _unless(knowledge: Knowledge, currency: str, hang: Hang, side: Stands, now: str | tuple[str, ...]) -> str:
    """ "old residue is three times rarer than we think (then: sealed over oil)"."""
    ends = [
        f"{said_number(knowledge, currency, hang, end, is_lower)} (then: {_changed(knowledge, now, then)})"
        for end, then, is_lower in ((side.low, side.below, True), (side.high, side.above, False))
        if end is not None and then is not None
    ]
    return ", or ".join(ends) + ("" if hang.exact else "; tried out step by step")


def _changed(knowledge: Knowledge, now: str | tuple[str, ...], then: str | tuple[str, ...]) -> str:
    """What another choice is, said by what it has more or less where it shares something with today's."""
    if isinstance(now, str) or isinstance(then, str):
        return knowledge.name(str(then))
    if not set(now) & set(then):
        return path_name(knowledge, then)
    more = [f"with {knowledge.name(action)}" for action in then if action not in now]
    less = [f"without {knowledge.name(action)}" for action in now if action not in then]
    return ", ".join(more + less)


def said_number(knowledge: Knowledge, currency: str, hang: Hang, end: float, is_lower: bool) -> str:
    """A number beyond one end of the span in which a choice stands, in words."""
    less, amount = ("fewer", "less") if is_lower else ("more", "more")
    hundred = f"in {less} than {_of_hundred(end)} of 100, not in {_of_hundred(hang.value)} as we think"
    names = [knowledge.name(one) for one in hang.of]
    match hang.kind:
        case "base":
            return f"{names[0]} is {_times(hang.value, end)} {'rarer' if is_lower else 'commoner'} than we think"
        case "leaks":
            return f"{names[0]}, where it is there, leaks {hundred}"
        case "link":
            return f"{names[0]} shows {_result(knowledge, *hang.of[1:])} {hundred}"
        case "stray":
            return f"{_result(knowledge, *hang.of)} is seen with nothing behind it {hundred}"
        case "place_link":
            return f"{_SEEN[hang.of[0]]} {hundred}"
        case "place_stray":
            return f"{_STRAY[hang.of[0]]} {hundred}"
        case "leads_to":
            return f"{names[0]} leads to {names[1]} {hundred}"
        case "at_zone":
            return f"{names[0]} lets oil out at {names[1]} {hundred}"
        case "path":
            return f"oil from {names[0]} gets to {names[1]} {hundred}"
        case "word":
            return f'"{hang.of[1]}", wherever the knowledge says it, means {hundred}'
        case "hours":
            return f"{names[0]} takes {amount} than {number(end, '.1f')} h, not {number(hang.value, '.1f')}"
        case _:
            return f"{_AMOUNTS[hang.of[0]]} {amount} than {money(end, currency)}, not {money(hang.value, currency)}"


def _result(knowledge: Knowledge, sign: str, answer: str) -> str:
    result = knowledge.signs[sign].results.get(answer)
    return f'"{knowledge.name(sign)}{f": {result.name}" if result else ""}"'


def _of_hundred(chance: float) -> str:
    hundred = 100 * chance
    return number(hundred, ".0f" if 2 <= hundred <= 98 else ".2g" if hundred < 2 else ".1f")


def _times(value: float, end: float) -> str:
    ratio = max(value / end, end / value)
    nearest = round(ratio)
    if nearest in _COUNTED and abs(ratio / nearest - 1) < _ROUND:
        return _COUNTED[nearest]
    return f"{number(ratio, '.1f' if ratio < 10 else '.0f')} times"
