"""Measurements as the arguments of a command, so that a fault is said of the option that it stands behind."""

from argparse import ArgumentTypeError, Namespace
from collections.abc import Callable, Sequence
from functools import wraps
from typing import TYPE_CHECKING, TypeVar

from leakdx.errors import UsageError
from leakdx.measured import typed
from leakdx.mechanics.given import MeasureError

if TYPE_CHECKING:
    from leakdx.mechanics.band import Band

_Value = TypeVar("_Value")


def argument(read: Callable[[str], _Value]) -> Callable[[str], _Value]:
    """The reader of a text as that of an argument."""

    @wraps(read)
    def read_argument(text: str) -> _Value:
        try:
            return read(text)
        except MeasureError as error:
            raise ArgumentTypeError(str(error)) from error

    return read_argument


def with_units(words: Sequence[str]) -> list[str]:
    """The words of a call, a unit that stands apart from the number of an option put behind it: --torque 225 lb-ft."""
    joined: list[str] = []
    for word in words:
        number, _, unit = joined[-1].partition(" ") if joined else ("", "", "")
        of_option = len(joined) > 1 and joined[-2].startswith("--") and typed.is_number(number)
        if of_option and word[:1] not in "-0123456789." and typed.is_unit(f"{unit} {word}".strip()):
            joined[-1] += f" {word}"
        else:
            joined.append(word)
    return joined


def percent(example: str) -> Callable[[str], float]:
    """Reads a number of per cent, its sign typed or not."""
    return plain(example, "%")


def plain(example: str, mark: str = "") -> Callable[[str], float]:
    """Reads a number that has no unit; the ``mark`` may stand behind it."""
    return argument(typed.plain(example, mark))


def count(text: str) -> int:
    """Reads a whole number."""
    return argument(typed.count)(text)


def number_in(unit: str, example: str, *, signed: bool = False) -> Callable[[str], float]:
    """Reads one number with a unit into ``unit``; a negative one only where it may be (``signed``)."""
    return argument(typed.number_in(unit, example, signed=signed))


def band_in(unit: str, example: str) -> "Callable[[str], Band]":
    """Reads a number or a band with a unit into ``unit``; a bare number is taken as exact."""
    return argument(typed.band_in(unit, example))


def only_with(args: Namespace, names: Sequence[str], other: str, right: str) -> None:
    """UsageError where an option is given that means nothing without the ``other``, which is not."""
    if getattr(args, other) is None:
        for name in names:
            if getattr(args, name) is not None:
                raise UsageError(f"{_option(name)} goes with {_option(other)}; {right}")


def never_with(args: Namespace, names: Sequence[str], other: str, why: str) -> None:
    """UsageError where the ``other`` option is given and one that it has no use for."""
    if getattr(args, other) is not None:
        for name in names:
            if getattr(args, name) is not None:
                raise UsageError(f"{_option(name)} has no use beside {_option(other)}: {why}")


def _option(name: str) -> str:
    """As it is typed; ``in`` is a word of Python's."""
    return f"--{'in' if name == 'time' else name.replace('_', '-')}"


def given_or(value: float | None, usual: float) -> float:
    """The value that was given, 0 too, or the usual one."""
    return usual if value is None else value
