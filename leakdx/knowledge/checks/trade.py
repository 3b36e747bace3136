"""Numbers of the trade that must stand in order, and units of theirs that can be converted."""

from collections.abc import Iterable
from itertools import pairwise

from leakdx.knowledge.checks.ground import Ground
from leakdx.knowledge.draft import TRADE
from leakdx.knowledge.faults import Code
from leakdx.quantities import QuantityError, convert


def check_trade(ground: Ground) -> None:
    """Strengths by growing diameter, viscosity classes and passes rising to the whole torque, lengths in lengths."""
    trade = ground.trade
    if trade is None:
        return
    for name, grade in trade.grades.items():
        _rising(ground, [each.up_to_mm for each in grade.strengths], "grades", name, "strengths")
        for number, each in enumerate(grade.strengths):
            if not each.proof < each.yields < each.tensile:
                wrong = f"'{name}' does not yield between its proof and its tensile stress"
                right = "write them in MPa, the proof stress below that of yielding and that below the tensile one"
                ground.fault(Code.RANGE_REVERSED, wrong, right, TRADE, "grades", name, "strengths", number)
    _rising(ground, trade.viscosity_grades.from_mm2_s.values(), "viscosity_grades", "from_mm2_s")
    shares = trade.passes.shares
    _rising(ground, shares, "passes", "shares")
    if shares and shares[-1] != 1:
        wrong, right = f"the last pass goes to {shares[-1]:g} of the torque", "end with 1, the whole torque"
        ground.fault(Code.OUT_OF_RANGE, wrong, right, TRADE, "passes", "shares")
    for name in ("highest", "dial", "feeler"):
        try:
            convert("1", getattr(trade.flatness, name).unit, "mm")
        except QuantityError as error:
            wrong, _, right = str(error).partition("; ")
            ground.fault(Code.UNIT, wrong, right, TRADE, "flatness", name, "unit")


def _rising(ground: Ground, numbers: Iterable[float], table: str, *path: str) -> None:
    for before, after in pairwise(numbers):
        if before >= after:
            wrong = f"'{path[-1]}' runs from {before:g} to {after:g}"
            ground.fault(Code.RANGE_REVERSED, wrong, "write them in rising order", TRADE, table, *path)
            return
