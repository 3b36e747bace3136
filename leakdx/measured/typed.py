"""Measurements as people type them: a number with its unit, or a band of it (35..45 mm, 40 +- 5 mm)."""

import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from leakdx.mechanics.given import MeasureError

if TYPE_CHECKING:
    from leakdx.mechanics.band import Band

_NUMBER = r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?"
_TYPED = re.compile(
    rf"\s*(?P<first>{_NUMBER})\s*(?:(?P<how>\.\.|to|±|\+/?-)\s*(?P<second>{_NUMBER})\s*)?(?P<unit>.*?)\s*",
    re.ASCII | re.DOTALL,
)
_SI, _PLAIN = 1e12, 1e6
"""No measurement in SI units, and no plain number, is more, nor less than one by so many."""
_POUNDS = "lb", "lbs"
"""Of force, where one is asked for: the trade writes a clamp and a load so."""
_MEANT = re.compile(r"did you mean (?P<unit>.+)\?")
_COMMA = re.compile(r"\d,\d", re.ASCII)
_THOUSANDS = re.compile(r"\d,\d{3}(?!\d)", re.ASCII)
_WITH_UNIT = re.compile(r"(?P<numbers>.*\d)\s*(?P<unit>[^\d\s,][^\d,]*)", re.ASCII | re.DOTALL)


def plain(example: str, mark: str = "") -> Callable[[str], float]:
    """Reads a number that has no unit; the ``mark`` that people write behind it may stand there (25V, 40%, 3.70:1)."""

    def read(text: str) -> float:
        bare = text.strip().removesuffix(mark).rstrip()
        if not re.fullmatch(_NUMBER, bare, re.ASCII):
            raise MeasureError(f"'{text[:40]}' is no plain number; write it as {example}")
        return _possible(text, float(bare), _PLAIN)

    return read


def count(text: str) -> int:
    """Reads a whole number."""
    if not re.fullmatch(r"\d{1,9}", text, re.ASCII):
        raise MeasureError(f"'{text[:40]}' is no count; write a whole number")
    return int(text)


def number_in(unit: str, example: str, *, signed: bool = False) -> Callable[[str], float]:
    """Reads one number with a unit into ``unit``; a negative one only where it may be (``signed``)."""

    def read(text: str) -> float:
        parts = _parts(text, example)
        if parts["how"]:
            raise MeasureError(f"'{text[:40]}' is a band, and one number is wanted; write it as {example}")
        value = _in(parts["first"], parts["unit"], unit, example)
        if value < 0 and not signed:
            raise MeasureError(f"'{text[:40]}' is less than 0; give one such as {example}")
        return value

    return read


def band_in(unit: str, example: str) -> "Callable[[str], Band]":
    """Reads a number or a band with a unit into ``unit``; a bare number is taken as exact."""

    def read(text: str) -> "Band":
        from leakdx.mechanics.band import Band

        parts = _parts(text, example)
        first = _in(parts["first"], parts["unit"], unit, example)
        low = high = first
        if parts["how"]:
            second = _in(parts["second"], parts["unit"], unit, example)
            low, high = (first, second) if parts["how"] in ("..", "to") else (first - second, first + second)
        if not parts["how"] and first <= 0:
            raise MeasureError(f"'{text[:40]}' is not more than 0; give one such as {example}")
        if not 0 < low <= high:
            raise MeasureError(f"'{text[:40]}' is no band above 0; write it as {example}, the smaller number first")
        return Band(low, (low + high) / 2, high)

    return read


def numbers_in(words: Sequence[str], unit: str, option: str, example: str, *, signed: bool = False) -> list[float]:
    """Numbers with one unit behind the last: 225 220 0 lb-ft. MeasureError names the option and the reading."""
    _points_only(words, option)
    found = _WITH_UNIT.fullmatch(" ".join(words))
    numbers, named = (found["numbers"], found["unit"]) if found else (" ".join(words), "")
    while " " in named and not is_unit(named):  # a word among the numbers, not of the unit
        word, _, named = named.partition(" ")
        numbers = f"{numbers} {word}"
    values = []
    for place, word in enumerate(re.split(r"[,\s]+", numbers.strip(", ")), 1):
        each = _without_own_unit(word, named, option)
        try:
            values.append(number_in(unit, example, signed=signed)(f"{each} {named}"))
        except MeasureError as error:
            raise MeasureError(f"{option}, reading {place}: {error}") from error
    return values


def _without_own_unit(word: str, common: str, option: str) -> str:
    """The number of a reading that says its unit too, as 225lb-ft. MeasureError where the last has another one."""
    found = _WITH_UNIT.fullmatch(word)
    if found is None or not is_number(found["numbers"]) or not is_unit(found["unit"]):
        return word
    if found["unit"] != common:
        raise MeasureError(f"{option}: some readings have one unit and some another; write all in one, the unit last")
    return found["numbers"]


def _points_only(words: Sequence[str], option: str) -> None:
    """MeasureError where commas seem to be decimal ones: 225,5 230,0. Between readings they may stand: 225, 230."""
    doubtful = [word for text in words for word in text.split() if _COMMA.search(word)]
    if len(doubtful) > 1 and all(word.count(",") == 1 for word in doubtful):
        point = doubtful[0].replace(",", ".")
        raise MeasureError(
            f"{option}: '{doubtful[0]}' may be one number or two; write {point}, or readings apart by a space"
        )


def without_comma(text: str) -> str:
    """The sentence for a number with a comma, which may be a decimal one or stand before thousands."""
    said = text[:40]
    thousands = f"{said.replace(',', '')} or " if _THOUSANDS.search(said) else ""
    return f"'{said}' has a comma; write it as {thousands}{said.replace(',', '.')}"


def parted(text: str) -> tuple[str, str] | None:
    """A number or a band of two, and its unit, which may be empty; None where it is neither."""
    found = _TYPED.fullmatch(text)
    if found is None or found["unit"][:1] in tuple(",0123456789."):
        return None
    unit = found["unit"]
    return text.strip().removesuffix(unit).rstrip(), unit


def is_number(text: str) -> bool:
    """Whether it is a number or a band of two, without a unit."""
    found = parted(text)
    return found is not None and not found[1]


def is_unit(text: str) -> bool:
    """Whether there is such a unit."""
    from leakdx.quantities import QuantityError, check_unit

    try:
        check_unit(text)
    except QuantityError:
        return False
    return True


def _parts(text: str, example: str) -> dict[str, str]:
    if _COMMA.search(text):
        raise MeasureError(without_comma(text))
    found = _TYPED.fullmatch(text)
    if found is None:
        raise MeasureError(f"'{text[:40]}' is no measurement; write it as {example}")
    return found.groupdict()


def _in(number: str, unit: str, to_unit: str, example: str) -> float:
    """The number in another unit; MeasureError where it cannot be."""
    from leakdx.quantities import QuantityError, convert

    if not unit and to_unit:
        raise MeasureError(f"{number} has no unit; write it as {example}")
    if to_unit == "N" and unit in _POUNDS:
        unit = "lbf"
    try:
        return _possible(f"{number} {unit}", convert(number, unit, to_unit), _SI)
    except QuantityError as error:
        wrong, _, right = str(error).partition("; ")
        near = _MEANT.fullmatch(right)
        fits = near is not None and _converts(near["unit"], to_unit)
        raise MeasureError(f"{wrong}; {right if fits else f'write it as {example}'}") from error


def _converts(unit: str, to_unit: str) -> bool:
    from leakdx.quantities import QuantityError, convert

    try:
        convert("1", unit, to_unit)
    except QuantityError:
        return False
    return True


def _possible(text: str, value: float, most: float) -> float:
    """The value, unless nothing on a truck is so big or so small."""
    if value and not 1 / most <= abs(value) <= most:
        raise MeasureError(f"'{text[:40]}' is beyond anything on a truck; look at number and unit")
    return value
