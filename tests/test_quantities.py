"""Readings in any unit, compared with a limit at the fineness they were typed in."""

import subprocess
import sys
from contextlib import suppress
from decimal import Decimal
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx import quantities
from leakdx.quantities import QuantityError, beyond, check_unit, convert, half_width, number


@pytest.mark.parametrize(
    ("typed", "unit", "is_beyond"),
    [
        ("0.005", "in", False), ("0.006", "in", True), ("0.13", "mm", False), ("0.14", "mm", True),
        ("0.127", "mm", False), ("0.130", "mm", True), ("0.0051", "in", True), ("0.0050", "in", False),
        ("5", "thou", False), ("6", "mil", True), ("127", "um", False), ("0.1", "mm", False), ("5e-3", "in", False),
    ],
)  # fmt: skip
def test_a_limit_of_five_thousandths_in_other_readings(typed: str, unit: str, is_beyond: bool) -> None:
    assert beyond(typed, unit, 0.005, "in") is is_beyond
    assert beyond(typed, unit, 0.005, "in", "below") <= (not is_beyond)


def test_below_is_the_other_way() -> None:
    assert beyond("99", "degC", 100, "degC", "below")
    assert not beyond("212", "F", 100, "degC", "below")
    assert beyond("211", "°F", 100, "degC", "below")


@pytest.mark.parametrize(
    ("typed", "unit", "to", "value"),
    [
        ("1", "in", "mm", 25.4), ("225", "lb-ft", "N·m", 305.0590), ("225", "ft lb", "N m", 305.0590),
        ("80", "C", "degF", 176.0), ("2", "qt", "L", 1.892706), ("14.5", "psi", "kPa", 99.97398), ("3", "", "", 3.0),
    ],
)  # fmt: skip
def test_conversions(typed: str, unit: str, to: str, value: float) -> None:
    """Factors by definition of the units (inch 25.4 mm, pound-force, degree Fahrenheit)."""
    assert convert(typed, unit, to) == pytest.approx(value, rel=1e-6)


def test_the_short_table_agrees_with_the_registry() -> None:
    registry = quantities._registry()
    for first, second in permutations(quantities._EXACT, 2):
        if quantities._EXACT[first][0] == quantities._EXACT[second][0]:
            wanted = registry.Quantity(1.0, registry.parse_units(first)).to(registry.parse_units(second)).magnitude
            assert convert("1", first, second) == pytest.approx(wanted, rel=1e-14)


def test_every_unit_that_is_suggested_is_known() -> None:
    for unit in quantities._USUAL:
        quantities._pint_unit(unit, unit)


@pytest.mark.parametrize(
    ("typed", "unit", "to", "says"),
    [
        ("0.006", "psi", "in", "0.006 psi is a pressure, a length is wanted; write it with a unit such as in"),
        ("0.006", "inn", "in", "'inn' is not a known unit; did you mean in?"),
        ("5", "", "in", "5 is a plain number, a length is wanted; write it with a unit such as in"),
        ("5", "in", "", "5 in is a length, a plain number is wanted; write it without a unit"),
        ("0,13", "mm", "in", "'0,13' is not a number; write it with a point"),
        ("about 5", "mm", "in", "'about 5' is not a number; write a number such as 0.006"),
        ("nan", "mm", "mm", "'nan' is not a number; write a number such as 0.006"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_sentence(typed: str, unit: str, to: str, says: str) -> None:
    with pytest.raises(QuantityError) as caught:
        convert(typed, unit, to)
    assert str(caught.value) == says


@pytest.mark.parametrize("unit", ["9**9**9**9", "m**99999999", "__import__('os')", "in" * 50, "mm;", "1/0", "%", "\0"])
def test_no_text_makes_a_unit_dangerous(unit: str) -> None:
    with pytest.raises(QuantityError):
        check_unit(unit)


def test_plain_counts_have_no_unit() -> None:
    check_unit("")
    check_unit("lbf*ft")
    assert convert("16", "", "") == 16


@given(st.decimals(-1000, 1000, allow_nan=False, places=4), st.sampled_from(["in", "mm", "thou", "um"]))
def test_there_and_back(value: Decimal, unit: str) -> None:
    there = convert(str(value), unit, "mm")
    assert convert(repr(there), "mm", unit) == pytest.approx(float(value), rel=1e-12)


@given(st.integers(0, 400), st.integers(0, 4))
def test_a_reading_equal_to_the_limit_is_never_beyond(steps: int, places: int) -> None:
    text = f"{Decimal(steps).scaleb(-places):.{places}f}"
    assert not beyond(text, "mm", float(text), "mm")
    assert half_width(text) == float(Decimal("0.5").scaleb(-places))
    assert number(text) == float(text)


@pytest.mark.parametrize("text", ["1e-40", "1e-99", ".000000000000001e-99", "1e99", "123456789012345e99", "0e-99"])
def test_any_number_is_beyond_a_limit_or_not(text: str) -> None:
    assert beyond(text, "in", 0.005, "in") == (float(text) > 0.005)
    assert beyond(text, "mm", 5000, "in", "below") == (float(text) < 127000)


@given(st.text(max_size=12), st.text(max_size=12))
def test_any_text_gives_a_number_or_a_sentence(typed: str, unit: str) -> None:
    with suppress(QuantityError):
        convert(typed, unit, "mm")


def test_equal_and_usual_units_need_no_registry() -> None:
    code = (
        "import sys; from leakdx.quantities import *;"
        "convert('5','degC','degC'); convert('5','in','mm'); beyond('0.13','mm',0.005,'in'); check_unit('psi');"
        "print('pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
