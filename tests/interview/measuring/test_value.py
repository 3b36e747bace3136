"""Temperature and pressure as they are typed: readings of one value, held against its limit."""

import pytest

from leakdx.case import Reading
from leakdx.interview.question import ReplyError
from tests.interview.measuring.by_hand import case, form, typed


def chance_said(*readings: str) -> str:
    value = form("housing_temperature", case())
    kept = typed(value, [(f"reading {n}", text) for n, text in enumerate(readings, 1)], "metric")
    return value.found(kept).said[0]


def test_each_reading_is_an_entry_with_its_own_unit() -> None:
    value = form("housing_temperature", case())
    kept = typed(value, [("reading 1", "250"), ("reading 2", "118 degC"), ("tool", "thermometer 3")])
    first, second = value.entries(kept)
    assert isinstance(first, Reading)
    assert isinstance(second, Reading)
    assert (first.value, first.unit, first.tool) == ("250", "degF", "thermometer 3")
    assert (second.value, second.unit) == ("118", "degC")


def test_the_further_beyond_and_the_oftener_the_surer() -> None:
    assert chance_said("90").endswith("under 1 % that it is above 120 degC")
    assert chance_said("140").endswith("over 99 % that it is above 120 degC")
    shares = [int(chance_said(*["121"] * times).split(": ")[1].split(" %")[0]) for times in (1, 3)]
    assert shares[0] < shares[1]


def test_what_cannot_be_read_is_refused_and_nothing_is_nothing() -> None:
    value = form("housing_temperature", case())
    with pytest.raises(ReplyError, match="outside what can be read here; write a value from -40 to 300 degC"):
        typed(value, [("reading 1", "900 degC")])
    assert value.found({}).wrong == "nothing is read yet"
    with pytest.raises(ReplyError, match="'reading 1' is not typed yet"):
        value.entries({})
