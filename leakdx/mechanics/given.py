"""What was measured, looked at before it is reckoned with: one sentence where it cannot be."""

import math
from collections.abc import Callable

from leakdx.errors import ExitCode, LeakdxError

ABSOLUTE_ZERO = -273.15
"""degC"""
_LONG = 10.0
"""m, from which a length is not written in mm."""


class MeasureError(LeakdxError):
    """A measurement that cannot be; the message names it, says what is wrong and what would be right."""

    exit_code = ExitCode.USAGE


def finite(name: str, value: float, right: str) -> float:
    """The value, where it is a number. MeasureError otherwise; ``right`` says what would be right."""
    if not math.isfinite(value):
        raise MeasureError(f"{name} is no number ({value}); {right}")
    return value


def positive(name: str, value: float, right: str) -> float:
    """The value, where it is above nothing. MeasureError otherwise."""
    if finite(name, value, right) <= 0:
        raise MeasureError(f"{name} is {value:g}, and must be more than 0; {right}")
    return value


def not_negative(name: str, value: float, right: str) -> float:
    """The value, where it is nothing or more. MeasureError otherwise."""
    if finite(name, value, right) < 0:
        raise MeasureError(f"{name} is {value:g}, and cannot be less than 0; {right}")
    return value


def as_number(value: float) -> str:
    """A number that has no unit."""
    return f"{value:g}"


def as_length(metres: float) -> str:
    """A length as either shop reads it."""
    metric = f"{metres:.4g} m" if abs(metres) >= _LONG else f"{1e3 * metres:.4g} mm"
    return f"{metric} ({metres / 0.0254:.4g} in)"


def as_temperature(celsius: float) -> str:
    """A temperature as either shop reads it."""
    return f"{celsius:.6g} degC ({32 + 1.8 * celsius:.4g} degF)"


def as_pressure(pascal: float) -> str:
    """A pressure as either shop reads it."""
    return f"{1e-3 * pascal:.4g} kPa ({pascal / 6894.757:.4g} psi)"


def as_share(share: float) -> str:
    """A share as it is typed."""
    return f"{100 * share:g} %"


def between(
    name: str, value: float, low: float, high: float, right: str, said: Callable[[float], str] = as_number
) -> float:
    """The value, where it lies from ``low`` to ``high``. MeasureError otherwise; ``said``: how it is written."""
    if not low <= finite(name, value, right) <= high:
        raise MeasureError(f"{name} is {said(value)}, and must lie between {said(low)} and {said(high)}; {right}")
    return value


def temperature(name: str, celsius: float) -> float:
    """The temperature in kelvin. MeasureError at absolute zero and below."""
    if finite(name, celsius, "give a temperature such as 20 degC") <= ABSOLUTE_ZERO:
        raise MeasureError(
            f"{name} is {as_temperature(celsius)}, which is not above absolute zero; look at number and unit"
        )
    return celsius - ABSOLUTE_ZERO


def usual_temperature(name: str, celsius: float) -> float:
    """The temperature of an axle or a shop in kelvin. MeasureError where nothing with wheels gets so hot or cold."""
    kelvin = temperature(name, celsius)
    between(name, celsius, -70, 400, "look at number and unit", as_temperature)
    return kelvin
