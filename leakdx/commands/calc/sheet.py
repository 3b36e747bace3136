"""What a calculation comes to: rows of values in both systems of units, and what they mean in words."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field

from leakdx.explain.numbers import written
from leakdx.mechanics.band import Band
from leakdx.quantities import convert


@dataclass(frozen=True)
class Kind:
    """Units of one kind of value: inside, as an inch shop and as a metric one reads it, each with how it is written."""

    si: str
    inch: str
    metric: str
    inch_written: str = ""
    metric_written: str = ""
    times: float = 1.0

    def shown(self, value: float, metric: bool) -> float:
        """The value in the shop's unit."""
        unit = self.metric if metric else self.inch
        return (convert(f"{value:.9e}", self.si, unit) if unit != self.si else value) * self.times

    def written(self, metric: bool) -> str:
        """The unit as it is printed."""
        plain, own = (self.metric, self.metric_written) if metric else (self.inch, self.inch_written)
        return own or plain.replace("*", "·").replace("^2", "²").replace("^3", "³").replace("deg", "°")


TORQUE = Kind("N*m", "lbf*ft", "N*m")
FORCE = Kind("N", "lbf", "kN")
STRESS = Kind("Pa", "ksi", "MPa")
LENGTH = Kind("m", "in", "mm")
DISTANCE = Kind("m", "mi", "km")
GAP = Kind("m", "thou", "um", metric_written="µm")
AREA = Kind("m^2", "in^2", "mm^2")
VOLUME = Kind("m^3", "qt", "L")
RATE = Kind("m^3/s", "floz/h", "mL/h", "fl oz/h")
LOSS = Kind("m^2", "qt/mi", "L/km", "qt/1000 mi", "L/1000 km", 1000)
HEAT = Kind("J/m", "kJ/in", "kJ/mm")
TEMPERATURE = Kind("degC", "degF", "degC")
PRESSURE = Kind("Pa", "psi", "kPa")
PRESSED = Kind("Pa", "psi", "MPa")
HOURS = Kind("s", "h", "h")
SECONDS = Kind("s", "s", "s")
VISCOSITY = Kind("mm^2/s", "mm^2/s", "mm^2/s", "cSt", "cSt")
DAYS = Kind("day", "day", "day", "days", "days")
SHARE = Kind("", "", "", "%", "%", 100)
CHANCE = Kind("", "", "", "%", "%", 100)
NUMBER = Kind("", "", "")


@dataclass(frozen=True)
class Row:
    """One value: a number, a band, or words."""

    name: str
    value: Band | float | str
    kind: Kind = NUMBER


@dataclass(frozen=True)
class Sheet:
    """All rows under a title; ``words`` say what they mean, ``picture`` shows it in text."""

    title: str
    rows: Sequence[Row]
    words: Sequence[str] = ()
    picture: Sequence[str] = ()
    more: dict[str, object] = field(default_factory=dict)
    """What only machines read."""


def as_text(sheet: Sheet, units: str) -> str:
    """The sheet to be read; ``units`` is inch, metric or both."""
    systems = [metric for metric, name in ((False, "inch"), (True, "metric")) if units in (name, "both")]
    cells = [[row.name, *dict.fromkeys(cell(row, metric=metric) for metric in systems)] for row in sheet.rows]
    columns = max(map(len, cells), default=1)
    widths = [max((len(cell[at]) for cell in cells if at < len(cell) - 1), default=0) for at in range(columns)]
    lines = ["  ".join(text.ljust(width) for text, width in zip(cell, widths, strict=False)).rstrip() for cell in cells]
    parts = [[sheet.title], lines, list(sheet.picture), list(sheet.words)]
    return "\n\n".join("\n".join(part) for part in parts if part)


def as_json(sheet: Sheet) -> str:
    """The sheet for machines, in SI units."""
    rows = {row.name: _plain(row) for row in sheet.rows}
    whole = {"title": sheet.title, "values": rows, "words": list(sheet.words), **sheet.more}
    return json.dumps(whole, ensure_ascii=False, indent=2, allow_nan=False)


def shown(value: float, kind: Kind, units: str) -> str:
    """One value within a sentence; in both systems the inch one first."""
    inch, metric = (cell(Row("", value, kind), metric=metric) for metric in (False, True))
    return {"inch": inch, "metric": metric}.get(units, f"{inch} ({metric})")


def three(value: float) -> str:
    """A number to three figures, never in powers of ten, with the shop's decimal sign."""
    if value == 0:
        return "0"
    text = f"{value:.3g}"
    return f"{float(text):.0f}" if abs(value) >= 100 else written(f"{float(text):.10f}".rstrip("0").rstrip("."))


def chance(value: float) -> str:
    """A probability in words that do not pretend to more than is known."""
    if value < 0.001:
        return f"less than {three(0.1)}%"
    return f"more than {three(99.9)}%" if value > 0.999 else f"{three(100 * value)}%"


def cell(row: Row, *, metric: bool) -> str:
    """One value as it is printed: likely (low to high) unit."""
    if isinstance(row.value, str):
        return row.value
    unit = row.kind.written(metric)
    end = f"{'' if unit == '%' else ' '}{unit}" if unit else ""
    if row.kind is CHANCE and isinstance(row.value, float):
        return chance(row.value)
    if not isinstance(row.value, Band):
        return three(row.kind.shown(row.value, metric)) + end
    low, likely, high = (
        three(row.kind.shown(each, metric)) for each in (row.value.low, row.value.likely, row.value.high)
    )
    return f"{likely} ({low} to {high}){end}" if low != high else f"{likely}{end}"


def _plain(row: Row) -> object:
    if isinstance(row.value, str):
        return row.value
    band = row.value
    value = {"low": band.low, "likely": band.likely, "high": band.high} if isinstance(band, Band) else band
    return {"value": value, "unit": row.kind.si}
