"""Readings that were typed in several units, in one."""

from collections.abc import Sequence

from leakdx.measured.typed import parted
from leakdx.quantities import convert


def in_one_unit(typed: Sequence[str], common: str) -> tuple[list[str], str]:
    """The numbers of readings and their unit: as typed where it is one, else all in ``common``."""
    parts = [parted(text) or (text, "") for text in typed]
    units = {unit for _, unit in parts}
    if len(units) == 1:
        return [number for number, _ in parts], units.pop()
    return [_converted(number, unit, common) for number, unit in parts], common


def _converted(number: str, unit: str, common: str) -> str:
    """A number, or both ends of a band; an inch is 25.4 mm exactly, so that no reading passes a limit by rounding."""
    return "..".join(f"{convert(end.strip(), unit, common):.10g}" for end in number.split(".."))
