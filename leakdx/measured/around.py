"""Places round the joint as people type them, and what was read at each: 4:30=1.5, n5=0, 3@150mm=4..5."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from leakdx.measured.joint import Joint
from leakdx.measured.typed import number_in, without_comma
from leakdx.mechanics.given import MeasureError, as_length, between
from leakdx.mechanics.places import Place, read_turn
from leakdx.quantities import beyond

_NUMBER = r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?"
_ENTRY = re.compile(
    rf"(?P<place>[^=@]+)(?:@(?P<radius>[^=]+))?=(?P<low>{_NUMBER})(?:\.\.(?P<high>{_NUMBER}))?(?P<unit>.*)", re.ASCII
)
_COMMA = re.compile(r"\d,\d+(?![\d:=@])", re.ASCII)
"""A comma with a number behind it that names no place."""
_MEASURE = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>.*?)\s*", re.ASCII | re.DOTALL)


@dataclass(frozen=True)
class Typed:
    """A number as it was typed, for the rule looks at its last digit."""

    text: str
    unit: str

    @property
    def metres(self) -> float:
        """In m; MeasureError where the unit is none of length."""
        return number_in("m", "0.005in", signed=True)(f"{self.text} {self.unit}")

    def is_beyond(self, limit: "Typed") -> bool:
        """Whether it is more than the limit, rounded to the digit that was typed."""
        return beyond(self.text, self.unit, float(limit.text), limit.unit)

    def is_below(self, limit: "Typed") -> bool:
        """Whether it is less than the limit, rounded to the digit that was typed."""
        return beyond(self.text, self.unit, float(limit.text), limit.unit, "below")

    @property
    def decimals(self) -> int:
        """Digits behind the point."""
        mantissa, _, power = self.text.lower().partition("e")
        return max(0, len(mantissa.partition(".")[2]) - int(power or 0))


@dataclass(frozen=True)
class Read:
    """What was read at a place: a value, or from ``low`` to ``high``."""

    place: Place
    low: Typed
    high: Typed


def length(text: str) -> Typed:
    """Reads a length above 0, kept as it was typed."""
    found = _MEASURE.fullmatch(text)
    typed = Typed(found["number"], found["unit"]) if found else Typed(text, "")
    if typed.metres <= 0:
        raise MeasureError(f"'{text[:40]}' is not more than 0; write it as 0.005in")
    return typed


def places(words: Sequence[str], joint: Joint, option: str) -> list[Place]:
    """Places without a value."""
    return [_place(word, None, joint, f"{option}, place {at}") for at, word in enumerate(_split(words), 1)]


def readings(words: Sequence[str], joint: Joint, option: str) -> list[Read]:
    """Places with what was read there, the unit behind the last or with every one. MeasureError names the reading."""
    _no_decimal_comma(words, option)
    entries = _split(words)
    common = entries.pop() if entries and "=" not in entries[-1] else ""
    found = [_entry(entry, f"{option}, reading {at}") for at, entry in enumerate(entries, 1)]
    units = {each["unit"] or common for each in found}
    if len(units) > 1 or (common and any(each["unit"] for each in found)):
        raise MeasureError(f"{option}: some readings have one unit and some another; write all in one, the unit last")
    return [_read(each, common, joint, f"{option}, reading {at}") for at, each in enumerate(found, 1)]


def _no_decimal_comma(words: Sequence[str], option: str) -> None:
    """MeasureError where a number has a decimal comma; what stands behind a comma is the next place: 12=0,3=1."""
    for word in words:
        if _COMMA.search(word):
            raise MeasureError(f"{option}: {without_comma(word)}")


def _split(words: Sequence[str]) -> list[str]:
    return [word for word in re.split(r"[,\s]+", " ".join(words)) if word]


def _entry(text: str, where: str) -> dict[str, str]:
    found = _ENTRY.fullmatch(text)
    if found is None:
        raise MeasureError(f"{where}: '{text[:40]}' is no place with a number; write it as 4:30=1.5, the unit last")
    return found.groupdict()


def _read(entry: dict[str, str], common: str, joint: Joint, where: str) -> Read:
    unit = entry["unit"] or common
    if not unit:
        raise MeasureError(f"{where}: {entry['low']} has no unit; write one behind the last reading, as thou or mm")
    low = Typed(entry["low"], unit)
    high = Typed(entry["high"], unit) if entry["high"] else low
    try:
        both = low.metres, high.metres
    except MeasureError as error:
        raise MeasureError(f"{where}: {error}") from error
    if both[0] > both[1]:
        raise MeasureError(f"{where}: {low.text}..{high.text} goes down; write the blade that enters first")
    return Read(_place(entry["place"], entry["radius"], joint, where), low, high)


def _place(text: str, radius: str | None, joint: Joint, where: str) -> Place:
    """A place on the face; its radius is its own or that of the joint there."""
    if radius is not None and not joint.has_size:
        raise MeasureError(f"{where}: a place with a radius of its own needs the joint's size; give --radius")
    line = joint.outline(usual=1.0)
    try:
        turn = read_turn(text, joint.turns(line))
        if radius is None:
            return Place(text, turn, line.reach(turn))
        own = between("the radius", number_in("m", "150mm")(radius), 0.002, 2, "look at number and unit", as_length)
        return Place(f"{text}@{radius}", turn, own)
    except MeasureError as error:
        raise MeasureError(f"{where}: {error}") from error
