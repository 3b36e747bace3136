"""A published value, ours beside it, and the table of all of them (docs/mechanics_checks.md)."""

from collections.abc import Iterable
from dataclasses import dataclass

PAGE = "as reproduced in a public page"
MEMORY = "from memory"
OWN = "own derivation"


@dataclass(frozen=True)
class Check:
    """``within``: the greatest difference, as a share of the value."""

    area: str
    what: str
    source: str
    status: str
    value: float
    unit: str
    ours: float
    within: float

    @property
    def difference(self) -> float:
        """Ours less the published value, as a share of it; as it is where the value is 0."""
        away = self.ours - self.value
        return away / abs(self.value) if self.value else away

    @property
    def holds(self) -> bool:
        return abs(self.difference) <= self.within

    def __str__(self) -> str:
        return f"{self.area}: {self.what} {self.unit}".rstrip()


def table(checks: Iterable[Check]) -> str:
    """All checks as Markdown, one table for each area."""
    lines: list[str] = []
    area = ""
    for check in checks:
        if check.area != area:
            area = check.area
            lines += ["", f"## {area}", "", "| what | source | value | ours | difference |", "|---|---|---|---|---|"]
        unit = f" {check.unit}" if check.unit else ""
        lines.append(
            f"| {check.what} | {check.source} ({check.status}) | {check.value:g}{unit} | {_shown(check.ours)} "
            f"| {_per_cent(check.difference)} |"
        )
    return "\n".join(lines) + "\n"


def _shown(value: float) -> str:
    """Six figures; what is nothing but rounding is 0 on every machine."""
    return "0" if abs(value) < 1e-12 else f"{value:.6g}"


def _per_cent(share: float) -> str:
    text = f"{100 * share:+.3f}"
    return f"{'0.000' if float(text) == 0 else text} %"


def checks(
    area: str, source: str, status: str, unit: str, within: float, rows: Iterable[tuple[str, float, float]]
) -> tuple[Check, ...]:
    """Checks out of one source; each row is what, the published value, ours."""
    return tuple(Check(area, what, source, status, value, unit, ours, within) for what, value, ours in rows)
