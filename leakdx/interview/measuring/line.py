"""One line of a measurement: what is to be typed there, and what of it is kept."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from leakdx.clean import clean_line
from leakdx.interview.question import ReplyError
from leakdx.measured.typed import parted
from leakdx.mechanics.given import MeasureError
from leakdx.store.settings import Ways

_LEADING = re.compile(r"[-+.,\d]*", re.ASCII)
System = Literal["inch", "metric"]
Typed = Mapping[str, str]
"""Name of a line -> what stands there, with its unit."""
LENGTH, TORQUE, TEMPERATURE = ("in", "mm"), ("lb-ft", "N-m"), ("degF", "degC")
"""Units of the two systems, as they are put behind a bare number."""


@dataclass(frozen=True)
class Choice:
    """One of several answers. ``value``: as it is kept."""

    value: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Line:
    """Something to type. ``name``: in what is kept; ``label``: in the list; ``asked``: what is to be typed.

    ``read`` raises MeasureError where a text cannot be. ``usual``: what counts where nothing is typed; ``needed``:
    nothing counts then. ``turn``: of a place on the map (rad clockwise from 12). ``units``: put behind a bare number.
    """

    name: str
    label: str
    asked: str
    read: Callable[[str], object] = str
    units: tuple[str, str] | None = None
    choices: tuple[Choice, ...] = ()
    usual: str = ""
    needed: bool = False
    turn: float | None = None

    def unit(self, system: System) -> str:
        """The unit of a bare number; empty where it has none."""
        return self.units[system == "metric"] if self.units else ""

    @property
    def is_numbered(self) -> bool:
        """Whether its choices may be typed by number: where they are no numbers themselves."""
        return not any(choice.value[:1].isdigit() for choice in self.choices)

    def shown(self, typed: str) -> str:
        """What is kept, as it is shown."""
        return next((choice.words for choice in self.choices if choice.value == typed), typed)

    def taken(self, text: str, system: System, ways: Ways) -> str:
        """What is kept of what was typed: nothing of nothing. Raises ReplyError with one sentence."""
        said = clean_line(text)
        if not said:
            return ""
        if self.choices:
            return self._chosen(said)
        kept = self._with_unit(said, system, ways)
        try:
            self.read(kept)
        except MeasureError as error:
            raise ReplyError(str(error)) from error
        return kept

    def can_hold(self, kept: str) -> bool:
        """Whether what is kept of a line can be what is kept of this one."""
        if self.choices:
            return any(choice.value == kept for choice in self.choices)
        try:
            self.read(kept)
        except MeasureError:
            return False
        return True

    def _chosen(self, said: str) -> str:
        """By value, number, or the beginning of a word of it that no other has."""
        folded = said.casefold()
        for number, choice in enumerate(self.choices, 1):
            if folded == choice.value.casefold() or (self.is_numbered and said == str(number)):
                return choice.value
        near = [c for c in self.choices if c.words.casefold().startswith(folded) or c.value.startswith(folded)]
        if len(near) == 1:
            return near[0].value
        raise ReplyError(f"'{said[:40]}' is none of these; type {self.offered}")

    @property
    def offered(self) -> str:
        """The choices in a row, as they are typed."""
        if self.is_numbered:
            return ", ".join(f"{number} {choice.words}" for number, choice in enumerate(self.choices, 1))
        return ", ".join(choice.value for choice in self.choices)

    def _with_unit(self, said: str, system: System, ways: Ways) -> str:
        if self.units is None:
            return _with_point(said, ways)
        parts = parted(_with_point(said, ways))
        if parts is None:
            return said  # the reader says what is wrong with it
        number, unit = parts
        return f"{number} {unit or self.unit(system)}"


def _with_point(said: str, ways: Ways) -> str:
    """A number with its unit, with a point where this shop writes a comma."""
    number = _LEADING.match(said)
    assert number is not None  # it may be empty
    return ways.typed_number(number[0]) + said[number.end() :]
