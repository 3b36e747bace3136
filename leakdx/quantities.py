"""Units in and out: what was typed, in whatever unit, as a number in the unit that is wanted.

A reading keeps the text it was typed as, since its last digit says how finely it was read. A limit is
compared at that fineness: a limit of 0.005 in is 0.13 mm to someone who reads hundredths of a millimetre.
"""

import re
from contextlib import suppress
from decimal import ROUND_HALF_UP, Context, Decimal
from difflib import get_close_matches
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from leakdx.errors import ExitCode, LeakdxError

if TYPE_CHECKING:
    import pint

_NUMBER = re.compile(r"[+-]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][+-]?\d{1,2})?", re.ASCII)
_NAME = r"[A-Za-zµμ°\"']+(?:(?:\*\*|\^)-?[1-4]|[²³])?"
_UNIT = re.compile(rf"{_NAME}(?:[*/]{_NAME}){{0,4}}")
"""What may be handed to pint: a few names with small powers, so that no text makes it compute for ever."""

_LONGEST_UNIT = 40
_ROOMY = Context(prec=300)
"""Digits enough for any limit in units of any last digit that can be typed (_NUMBER)."""

_ALIASES = {
    '"': "in", "inch": "in", "inches": "in", "mil": "thou", "mils": "thou", "um": "um", "µm": "um", "μm": "um",
    "lb*ft": "lbf*ft", "ft*lb": "lbf*ft", "ft*lbf": "lbf*ft", "lbft": "lbf*ft", "ftlb": "lbf*ft", "lbs*ft": "lbf*ft",
    "ft*lbs": "lbf*ft", "lb*in": "lbf*in", "in*lb": "lbf*in", "in*lbf": "lbf*in", "inlb": "lbf*in", "lbs*in": "lbf*in",
    "in*lbs": "lbf*in", "ftlbs": "lbf*ft", "ftlbf": "lbf*ft", "lbsft": "lbf*ft", "inlbs": "lbf*in",
    "Nm": "N*m", "nm": "N*m", "C": "degC", "°C": "degC", "F": "degF", "°F": "degF",
    "l": "L", "litre": "L", "litres": "L", "quart": "qt", "quarts": "qt", "pint": "pt", "pints": "pt",
}  # fmt: skip
"""How the trade writes units, where pint would read something else (C as coulomb, lb as a mass)."""

_USUAL = ("in", "mm", "thou", "um", "lbf*ft", "lbf*in", "N*m", "degC", "degF", "psi", "kPa", "bar", "L", "qt", "pt",
          "gal", "min", "h", "mph", "km/h", "rpm")  # fmt: skip

_EXACT = {
    "in": ("length", Decimal("25.4")), "mm": ("length", Decimal(1)), "thou": ("length", Decimal("0.0254")),
    "um": ("length", Decimal("0.001")), "lbf*ft": ("torque", Decimal("1.3558179483314004")),
    "lbf*in": ("torque", Decimal("0.1129848290276167")), "N*m": ("torque", Decimal(1)),
}  # fmt: skip
"""Units of nearly every reading, by definition: loading pint for them would double the time of a diagnosis."""

_METRIC = {"in": "mm", "thou": "um", "lbf*ft": "N*m", "lbf*in": "N*m", "psi": "kPa", "degF": "degC", "qt": "L",
           "pt": "L", "gal": "L", "mph": "km/h"}  # fmt: skip
_INCH = {"mm": "in", "um": "thou", "N*m": "lbf*ft", "kPa": "psi", "bar": "psi", "degC": "degF", "L": "qt",
         "km/h": "mph"}  # fmt: skip
"""The unit that the other system's shops read in its place."""

_KINDS = {"mm": "length", "kPa": "pressure", "N*m": "torque", "degC": "temperature", "L": "volume", "min": "time",
          "km/h": "speed", "N": "force", "kg": "mass", "mm^2": "area", "rpm": "speed of turning"}  # fmt: skip


class QuantityError(LeakdxError):
    """A number or unit that cannot be used; the message says what is wrong; what would be right."""

    exit_code = ExitCode.CASE


def number(text: str) -> float:
    """The number that was typed. QuantityError where it is none."""
    return float(_decimal(text))


def half_width(text: str) -> float:
    """Half of the last typed digit: 0.0005 for "0.006". QuantityError where the text is no number."""
    return float(_last_digit(text) / 2)


def convert(text: str, unit: str, to_unit: str) -> float:
    """The typed number in another unit. QuantityError: no number, no such unit, or another kind of quantity."""
    return float(_converted(_decimal(text), unit, to_unit, f"{text} {unit}".strip()))


def beyond(text: str, unit: str, limit: float, limit_unit: str, direction: Literal["above", "below"] = "above") -> bool:
    """Whether a reading is beyond a limit, the limit rounded to the last digit that was typed.

    With a limit of 0.005 in, "0.005" in and "0.13" mm are within it, "0.006" in and "0.130" mm are beyond.
    """
    value = _decimal(text)
    wanted = f"{limit:g} {limit_unit}".strip()
    _converted(value, unit, limit_unit, f"{text} {unit}".strip())
    at_limit = _converted(Decimal(repr(limit)), limit_unit, unit, wanted)
    rounded = (at_limit / _last_digit(text)).quantize(Decimal(1), ROUND_HALF_UP, _ROOMY) * _last_digit(text)
    return value > rounded if direction == "above" else value < rounded


def in_system(unit: str, system: Literal["inch", "metric"]) -> str:
    """The unit that a shop of this system reads in place of one; the unit itself where both read it."""
    return (_METRIC if system == "metric" else _INCH).get(_plain(unit), unit)


def warm_up() -> None:
    """Load all units now, so that nobody waits for them later."""
    _registry()


def check_unit(unit: str) -> None:
    """QuantityError where there is no such unit; "" (a plain count) is one."""
    name = _plain(unit)
    if name and name not in _USUAL:
        _pint_unit(name, unit)


def _decimal(text: str) -> Decimal:
    typed = text.strip()
    if _NUMBER.fullmatch(typed):
        return Decimal(typed)
    right = "write it with a point" if _NUMBER.fullmatch(typed.replace(",", ".", 1)) else "write a number such as 0.006"
    raise QuantityError(f"'{typed[:40]}' is not a number; {right}")


def _last_digit(text: str) -> Decimal:
    exponent = _decimal(text).as_tuple().exponent
    return Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0)


def _plain(unit: str) -> str:
    """A unit as pint is to read it: products with ``*``, the trade's own spellings replaced."""
    if len(unit) > _LONGEST_UNIT:
        return unit
    name = re.sub(r"\s*[·⋅]\s*|(?<=\w)\s*-\s*(?=[A-Za-z])|(?<=\w)\s+(?=[A-Za-z])", "*", unit.strip())
    return _ALIASES.get(name) or (name.lower() if name.lower() in _EXACT else name)


def _converted(value: Decimal, unit: str, to_unit: str, typed: str) -> Decimal:
    have, want = _plain(unit), _plain(to_unit)
    if have == want:
        return value
    if have in _EXACT and want in _EXACT and _EXACT[have][0] == _EXACT[want][0]:
        return value * _EXACT[have][1] / _EXACT[want][1]
    registry, source, target = _registry(), _pint_unit(have, unit), _pint_unit(want, to_unit)
    if source.dimensionality != target.dimensionality:
        right = f"write it with a unit such as {to_unit}" if to_unit else "write it without a unit"
        raise QuantityError(f"{typed} is {_kind(source)}, {_kind(target)} is wanted; {right}")
    return Decimal(repr(float(registry.Quantity(float(value), source).to(target).magnitude)))


def _pint_unit(name: str, typed: str) -> Any:
    """The unit in pint's registry."""
    if not name:
        return _registry().Unit("")
    if len(name) <= _LONGEST_UNIT and _UNIT.fullmatch(name):
        with suppress(Exception):  # pint raises a dozen unrelated types for text that is no unit
            return _registry().parse_units(name)
    near = get_close_matches(name, _USUAL, n=1, cutoff=0.5)
    right = f"did you mean {near[0]}?" if near else f"known are {', '.join(_USUAL)} and more"
    raise QuantityError(f"'{typed[:40]}' is not a known unit; {right}")


def _kind(unit: Any) -> str:
    """ "a length", "a pressure"; the plain words for a dimension."""
    for example, word in _KINDS.items():
        if _registry().parse_units(example).dimensionality == unit.dimensionality:
            return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"
    return "a plain number" if unit.dimensionless else "another kind of quantity"


@cache
def _registry() -> "pint.UnitRegistry[Any]":
    import pint  # a third of a second to load, and most cases never need it

    return pint.UnitRegistry()
