"""What was measured, looked at before it is reckoned with: one sentence where it cannot be."""

import math

from leakdx.errors import ExitCode, LeakdxError

ABSOLUTE_ZERO = -273.15
"""degC"""


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


def between(name: str, value: float, low: float, high: float, right: str) -> float:
    """The value, where it lies from ``low`` to ``high``. MeasureError otherwise."""
    if not low <= finite(name, value, right) <= high:
        raise MeasureError(f"{name} is {value:g}, and must lie between {low:g} and {high:g}; {right}")
    return value


def temperature(name: str, celsius: float) -> float:
    """The temperature in kelvin. MeasureError at absolute zero and below."""
    if finite(name, celsius, "give a temperature such as 20 degC") <= ABSOLUTE_ZERO:
        raise MeasureError(f"{name} is {celsius:g} degC, which is not above absolute zero; look at number and unit")
    return celsius - ABSOLUTE_ZERO


def usual_temperature(name: str, celsius: float) -> float:
    """The temperature of an axle or a shop in kelvin. MeasureError where nothing with wheels gets so hot or cold."""
    kelvin = temperature(name, celsius)
    between(f"{name} in degC", celsius, -70, 400, "look at number and unit")
    return kelvin
