"""How numbers are written for whoever reads them: 1,500.5 or 1.500,5. One choice for the whole run, as a locale is."""

from contextvars import ContextVar
from typing import Literal

NumberStyle = Literal["point", "comma"]

_style: ContextVar[NumberStyle] = ContextVar("style", default="point")
_TURNED = str.maketrans(",.", ".,")


def write_numbers(style: NumberStyle) -> None:
    """From now on numbers in sentences are written so; JSON and what is typed keep the point."""
    _style.set(style)


def number(value: float, form: str) -> str:
    """A number in one of Python's formats, written as was chosen."""
    return written(format(value, form))


def written(text: str) -> str:
    """A number's text, with a point until now, as was chosen."""
    return text.translate(_TURNED) if _style.get() == "comma" else text
