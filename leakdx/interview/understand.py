"""From a typed line to a reply: numbers or words, a few signs for "I cannot tell"."""

import re
from collections.abc import Iterator, Sequence

from leakdx.case import CANNOT_REACH, NOT_FITTED, UNSURE
from leakdx.clean import clean, clean_line
from leakdx.interview.question import NO, YES, Option, Question, Reply, ReplyError, numbered
from leakdx.knowledge.faults import nearest

_NOTHING_KNOWN = {
    "?": UNSURE, "unsure": UNSURE, "don't know": UNSURE, "x": CANNOT_REACH, "can't reach": CANNOT_REACH,
    "cannot reach": CANNOT_REACH, "nf": NOT_FITTED, "not fitted": NOT_FITTED,
}  # fmt: skip
_YES_NO = {"y": YES, "yes": YES, "no": NO}
_FAIRLY = "~"
_HOUR = r"\d{1,2}(?:\.\d+)?"
_ARC = re.compile(rf"arc\s*({_HOUR})(?:\s*(?:-|to|,)\s*({_HOUR})|\s+({_HOUR})|)(?=\s|$)", re.IGNORECASE)
_OTHERS = ("rest", "others", "none")
_REST = re.compile(
    rf"\b(?:rest|others)\s+({'|'.join(map(re.escape, sorted(_NOTHING_KNOWN, key=len, reverse=True)))})(?=\s|$)",
    re.IGNORECASE,
)
_READING = re.compile(r"(\S+?)\s*([A-Za-z\"'µμ°][^\s]*)?(?:\s+with\s+(.+?)(?:,?\s+calibrated\s+(\S+))?)?")
_LONGEST_NAME = 6
_MOST_DIGITS = 7


def understand(question: Question, line: str) -> Reply:
    """The reply that a typed line means. ReplyError, in one sentence, where it means none."""
    typed = clean_line(line)
    if not typed.strip(_FAIRLY + " ,"):
        raise ReplyError("nothing was answered; type an answer, or h for help")
    match question.kind:
        case "text":
            return Reply(answer=UNSURE) if typed == "?" else Reply(text=clean(line).strip())
        case "act":
            return Reply(answer=_yes_or_no(typed))
        case "repair":
            return Reply(done=_done(typed, question.options))
        case "end":
            raise ReplyError("nothing is asked here; type h for what can be done, or q to stop")
    body, sure = _sureness(typed)
    nothing = _NOTHING_KNOWN.get(body.casefold())
    if nothing == CANNOT_REACH and question.kind == "history":
        raise ReplyError("this is told, so nothing has to be reached; type ? where nobody knows")
    if nothing is not None:
        return Reply(answer=nothing)
    match question.kind:
        case "places":
            return _places(body, question.options, sure)
        case "reading":
            return _reading(body, question.unit, sure)
        case _:
            return _choice(body, question, sure)


def typed_number(word: str) -> int | None:
    """The whole number that a word is, one too large to mean anything cut short; None where it is none."""
    if not (word.isascii() and word.isdigit()):
        return None
    return int(word.lstrip("0")[:_MOST_DIGITS] or "0")


def _sureness(typed: str) -> tuple[str, bool]:
    """(the line without its mark, whether it was given as sure)."""
    body = typed.removesuffix(_FAIRLY).rstrip()
    return body, body == typed


def _yes_or_no(typed: str) -> str:
    word = {**_YES_NO, "1": YES, "2": NO, "n": NO, "x": NO}.get(typed.casefold())
    if word is None:
        raise ReplyError("type y when it is done, n when it is not")
    return word


def _done(typed: str, options: Sequence[Option]) -> tuple[str, ...]:
    if typed.casefold() in ("?", "x", "n", "no", "none"):
        raise ReplyError("nothing is written down until some of it is done; q stops until then")
    return tuple(_option(word, options) for word in _phrases(typed, options))


def _choice(body: str, question: Question, sure: bool) -> Reply:
    ids = [option.id for option in question.options]
    if body.casefold() == "n":
        if NO in ids:
            raise ReplyError("n could mean no or not fitted; type no, or nf for not fitted")
        return Reply(answer=NOT_FITTED)
    if not sure and question.kind != "sign":
        raise ReplyError("~ marks what was seen, not what was told; type it without, or ? for not known")
    rest, arc = _take_arc(body) if question.kind == "sign" else (body, None)
    rest = rest.strip()
    answer = _YES_NO.get(rest.casefold(), "") if NO in ids else ""
    return Reply(answer=answer or _option(rest, question.options), arc=arc, sure="sure" if sure else "fairly")


def _reading(body: str, unit: str, sure: bool) -> Reply:
    found = _READING.fullmatch(body)
    if found is None:
        raise ReplyError(f"type the value and its unit, such as 0.006 {unit}")
    if not sure:
        raise ReplyError("a reading has no ~; measure again, or type ? for cannot tell")
    return Reply(value=found[1], unit=found[2] or unit, tool=found[3] or "", calibrated=found[4] or "")


def _places(body: str, options: Sequence[Option], sure: bool) -> Reply:
    """ "1 3 arc 5-7 dry 2": wet ones first, then dry ones; "rest dry" for all others, "none" for all dry; "rest ?"."""
    rest, arc = _take_arc(body)
    unknown = _REST.search(rest)
    if unknown:
        rest = rest[: unknown.start()] + " " + rest[unknown.end() :]
    wet: list[str] = []
    dry: list[str] = []
    side, others = "wet", False
    words = list(_phrases(rest, options))
    if _ends_on_a_side(words):
        raise ReplyError(f"{words[-1]} stands last, with nothing after it; the wet ones come first: 1 3 dry 4 5")
    for word in words:
        if word in ("wet", "dry"):
            side = word
        elif word in _OTHERS:
            others = True
        else:
            place = _option(word, options)
            if place in wet + dry:
                raise ReplyError(f"{_name(place, options)} is named twice; say once whether it is wet or dry")
            (wet if side == "wet" else dry).append(place)
    if others:
        dry += [o.id for o in options if o.id not in wet + dry and not (wet and o.by_name_only)]
    if unknown and not wet and not dry and not words:
        return Reply(answer=_NOTHING_KNOWN[unknown[1].casefold()])
    if not wet and not dry:
        raise ReplyError("name the wet places by number, such as 1 3, or type none when all were looked at and dry")
    if arc and not wet:
        raise ReplyError("an arc goes with a wet place; name the wet place before it")
    # A place that only collects oil is not meant by the rest of a wet axle, and not asked for once more either.
    is_left = others and len(wet) + len(dry) < len(options)
    left = _NOTHING_KNOWN[unknown[1].casefold()] if unknown else UNSURE if is_left else ""
    return Reply(wet=tuple(wet), dry=tuple(dry), rest=left, arc=arc, sure="sure" if sure else "fairly")


def _ends_on_a_side(words: Sequence[str]) -> bool:
    """ "3 4 dry", "2 dry 1 wet": whoever types so means the places before the word, not after; "1 3 wet" is plain."""
    *before, last = words or [""]
    if last == "wet":
        return "dry" in before
    return last == "dry" and bool(before) and before[-1] not in _OTHERS


def _take_arc(body: str) -> tuple[str, tuple[float, float] | None]:
    found = _ARC.search(body)
    if found is None:
        if re.search(r"\barc\b", body, re.IGNORECASE):
            raise ReplyError("an arc is one or two clock positions, such as arc 6 or arc 5-7")
        return body, None
    if found[3]:
        raise ReplyError(
            f"arc {found[1]} {found[3]} can be read two ways; type arc {found[1]}-{found[3]}, or the arc last"
        )
    arc = float(found[1]), float(found[2] or found[1])
    if not all(0 <= hour <= 12 for hour in arc):
        raise ReplyError("an arc is two clock positions from 0 to 12, such as arc 5-7")
    return body[: found.start()] + " " + body[found.end() :], arc


def _words(typed: str) -> list[str]:
    return typed.replace(",", " ").split()


def _phrases(body: str, options: Sequence[Option]) -> Iterator[str]:
    """The line cut into numbers, names of options (of several words too) and single words."""
    words = _words(body)
    while words:
        for length in range(min(_LONGEST_NAME, len(words)), 0, -1):
            phrase = " ".join(words[:length])
            if length == 1 or any(phrase.casefold() in _ways(option) for option in options):
                yield phrase.casefold() if length == 1 else phrase
                del words[:length]
                break


def _option(word: str, options: Sequence[Option]) -> str:
    """The id of the option that is meant: by number, id, name, another word for it, how one begins or a word in one.

    What fits several options means none of them.
    """
    number = typed_number(word)
    if number is not None:
        by_number = numbered(options)
        if number in by_number:
            return by_number[number].id
        raise ReplyError(f"there is no number {number} here; type {_numbers(sorted(by_number))}")
    wanted = word.casefold()
    for fits in (str.__eq__, str.startswith, _has_word):
        found = [option.id for option in options if any(fits(way, wanted) for way in _ways(option))]
        if len(found) == 1:
            return found[0]
    near = nearest(wanted, [way for option in options for way in _ways(option)])
    right = f"did you mean {near}?" if near else "type the number of an answer, h for help, or note and your own words"
    raise ReplyError(f"'{word[:40]}' is none of the answers; {right}")


def _has_word(way: str, wanted: str) -> bool:
    return wanted in re.findall(r"\w+", way)


def _numbers(numbers: Sequence[int]) -> str:
    if list(numbers) == list(range(1, len(numbers) + 1)):
        return f"a number from 1 to {len(numbers)}"
    return f"{'one of ' if len(numbers) > 1 else ''}{', '.join(map(str, numbers))}"


def _ways(option: Option) -> list[str]:
    return [way.casefold() for way in (option.id, option.id.replace("_", " "), option.name, *option.words)]


def _name(id: str, options: Sequence[Option]) -> str:
    return next(option.name for option in options if option.id == id)
