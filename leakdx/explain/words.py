"""Numbers as people say them: how sure, how long, how dear; and what was answered, in the knowledge's own names."""

from collections.abc import Iterable, Mapping

from leakdx.clean import clean_line
from leakdx.explain.numbers import number
from leakdx.knowledge.entry import (
    Range,
)
from leakdx.knowledge.model import ABNORMAL, NORMAL, Knowledge
from leakdx.reasoning.answer import CauseBelief, Outcome
from leakdx.reasoning.gather import Overruled

SURE_WORDS = (
    (0.95, "nearly certain"),
    (0.80, "very likely"),
    (0.60, "likely"),
    (0.40, "about even"),
    (0.20, "possible"),
    (0.05, "unlikely"),
    (0.0, "very unlikely"),
)
"""(at least, word). One table for the whole program, so that a word means the same everywhere."""

STRONG, CLEAR, FAINT = 6.0, 3.0, 0.5
"""Decibans: 6 is four times the odds, 3 twice; what moves less than FAINT is not worth a line."""

_HOURS_FROM = 180
"""Minutes from which a time is said in hours."""


def sure_word(chance: float) -> str:
    """The word for a probability."""
    return next(word for least, word in SURE_WORDS if chance >= least)


def percent(chance: float) -> str:
    """A probability as a whole percentage that never claims certainty."""
    whole = round(100 * chance)
    return "over 99 %" if whole >= 100 else f"{whole} %" if whole > 0 else "under 1 %"


def sure(chance: float) -> str:
    """Word and number: "very likely, 87 %"."""
    return f"{sure_word(chance)}, {percent(chance)}"


def tenths(chance: float) -> str:
    """A probability for somebody who is no friend of percentages: "about 7 in 10", never 0 or 10 in 10."""
    if chance >= 0.95:
        return "more than 9 in 10"
    return "less than 1 in 10" if chance < 0.05 else f"about {max(1, min(9, round(10 * chance)))} in 10"


def strength(decibans: float) -> str:
    """How much an answer spoke: "strongly for", "against", "weakly for"."""
    degree = "strongly " if abs(decibans) >= STRONG else "" if abs(decibans) >= CLEAR else "weakly "
    return f"{degree}{'for' if decibans > 0 else 'against'}"


def minutes(span: Range) -> str:
    """Hands-on time (low, high) in minutes, from two hours on in hours."""
    low, high = span
    if high >= _HOURS_FROM:
        return hours((low / 60, high / 60))
    return _span(f"{low:.0f}", f"{high:.0f}", "min")


def hours(span: Range) -> str:
    """A waiting time (low, high) in hours; "none" for no waiting."""
    low, high = span
    return "none" if high == 0 else _span(_one_decimal(low), _one_decimal(high), "h")


def money(amount: float, currency: str) -> str:
    """An amount rounded to what an estimate can bear, with its currency."""
    return f"{number(rounded(amount), ',.0f')} {currency}"


def rounded(amount: float) -> float:
    """To ten from a hundred on, to five below."""
    step = 10 if amount >= 100 else 5
    return round(amount / step) * step


def _one_decimal(value: float) -> str:
    return number(round(value, 1), "g")


def _span(low: str, high: str, unit: str) -> str:
    return f"{low} {unit}" if low == high else f"{low}-{high} {unit}"


def listed(words: Iterable[str], last: str = "and") -> str:
    """ "A, B and C"."""
    names = tuple(words)
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}" if names else ""


def capital(text: str) -> str:
    """The text with a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def counted(number: int, thing: str) -> str:
    """ "1 cause", "3 causes", "2 entries"."""
    several = f"{thing[:-1]}ies" if thing.endswith("ry") else f"{thing}s"
    return f"{number} {thing if number == 1 else several}"


def is_over(cause: CauseBelief) -> bool:
    """Whether what leaked when it came in has mostly been cured or washed off since."""
    return cause.leaking < cause.leaking_first / 2


def answer_name(knowledge: Knowledge, id: str, answer: str) -> str:
    """The name of an answer to a sign or a history group; the answer itself where it has none (yes, 0.006 in)."""
    named: Mapping[str, object] = {}
    if id in knowledge.history:
        named = knowledge.history[id].answers
    elif id in knowledge.signs:
        named = knowledge.signs[id].results
    return str(getattr(named.get(answer), "name", answer))


def answered(knowledge: Knowledge, id: str, answer: str) -> str:
    """ "residual torque round the ring: one low"."""
    return clean_line(f"{knowledge.name(id)}: {answer_name(knowledge, id, answer)}")


def outcome(knowledge: Knowledge, answers: Mapping[str, str]) -> str:
    """A joint result of one check: what of it is not as it should be, or that nothing is."""
    if len(answers) == 1:
        ((sign, answer),) = answers.items()
        return _single(knowledge, sign, answer)
    found = [_found(knowledge, s, a) for s, a in answers.items() if a != knowledge.signs[s].outcomes[0]]
    return " + ".join(found) if found else "none of it"


def _single(knowledge: Knowledge, sign: str, answer: str) -> str:
    measure = knowledge.signs[sign].measure
    if measure is None:
        name = answer_name(knowledge, sign, answer)
        return f"{name}: {knowledge.name(sign)}" if name in (NORMAL, ABNORMAL) else name
    side = "beyond" if answer == ABNORMAL else "within"
    return f"{side} {measure.limit:g} {measure.unit}"


def _found(knowledge: Knowledge, sign: str, answer: str) -> str:
    """What was found, by its own name where the look has several results (one of them may be called yes)."""
    is_plain = answer == ABNORMAL and not knowledge.signs[sign].results
    return knowledge.name(sign) if is_plain else answer_name(knowledge, sign, answer)


def path_name(knowledge: Knowledge, actions: Iterable[str]) -> str:
    """A repair path in words; the empty one too."""
    return " + ".join(knowledge.name(action) for action in actions) or "Nothing to repair now"


def best_then(knowledge: Knowledge, found: Outcome, barred: str = "") -> str:
    """What one would do after a result of a check; ``barred``: what rules would say against the repair then."""
    if barred:
        return f"best then: think anew, since this bars {path_name(knowledge, found.repair)}. {barred.rstrip('.')}"
    if found.then is not None:
        return f"best then: look further ({knowledge.name(found.then)})"
    return f"best then: {path_name(knowledge, found.repair) if found.decides else 'look further'}"


def not_agreed(knowledge: Knowledge, one: Overruled) -> str:
    """What was told and what was seen, and which of the two counts."""
    said = f"entry {one.entry} says" if one.entry else "the axle family says"
    told, seen = (answer_name(knowledge, one.group, answer) for answer in (one.told, one.seen))
    return f"{knowledge.name(one.group)}: {said} {told}, what was seen says {seen}; what was seen counts"
