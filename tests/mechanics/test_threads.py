"""Threads by name, and what grades bear."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.mechanics.given import MeasureError
from leakdx.mechanics.threads import INCH, read_grade, read_thread, strength
from tests.shipped import trade

ALL = [f"{size}-{each:g}" for size, steps in trade().threads.inch.items() for each in steps] + [
    f"{size}x{each:g}" for size, steps in trade().threads.metric.items() for each in steps
]


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("5/8-11", "5/8-11"), (" 5/8 - 11 UNC", "5/8-11"), ("5/8", "5/8-11"), ("5/8-18unf", "5/8-18"),
        ("M16x2", "M16x2"),
        ("m16×2.0", "M16x2"), ("M16", "M16x2"), ("M16 x 1.5", "M16x1.5"), ("1", "1-8"),
    ],
)  # fmt: skip
def test_a_thread_as_people_write_it(typed: str, name: str) -> None:
    assert read_thread(typed, trade()).name == name


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("5/8-12", "5/8 has 5/8-11 or 5/8-18"), ("M16x3", "M16 has M16x2 or M16x1.5"), ("M17", "known are M8"),
        ("0/0", "known are 1/4"), ("", "write it as 5/8-11"), ("hex bolt", "write it as 5/8-11 or M16x2"),
        ("5/8-11-2", "write it as"), ("M1000x2", "write it as"),
    ],
)  # fmt: skip
def test_what_is_no_thread_is_refused_with_what_would_be(typed: str, said: str) -> None:
    with pytest.raises(MeasureError, match=said.replace(".", r"\.")):
        read_thread(typed, trade())


@given(st.sampled_from(ALL))
def test_the_stress_area_lies_between_root_and_pitch_circle(name: str) -> None:
    thread = read_thread(name, trade())
    assert thread.name == name
    assert thread.root_diameter < (thread.stress_area / 0.785398) ** 0.5 < thread.pitch_diameter < thread.diameter


def test_both_formulas_of_the_stress_area_agree() -> None:
    inch = read_thread("5/8-11", trade())
    metric = 0.785398 * ((inch.pitch_diameter + inch.root_diameter) / 2) ** 2
    assert metric == pytest.approx(inch.stress_area, rel=0.015)
    assert read_thread("3/4", trade()).diameter == pytest.approx(0.75 * INCH)


def test_class_8_8_is_stronger_above_16_mm() -> None:
    grade = read_grade("8.8", trade())
    assert strength(grade, read_thread("M16", trade())).proof == 580
    assert strength(grade, read_thread("M18", trade())).proof == 600


def test_grades_as_people_write_them() -> None:
    assert read_grade("SAE 8", trade()) is read_grade("grade 8", trade()) is trade().grades["8"]
    assert read_grade("class 10.9", trade()).name == "ISO 898-1 class 10.9"
    with pytest.raises(MeasureError, match="known are 2, 5, 8"):
        read_grade("9.8", trade())


def test_a_grade_is_not_made_in_every_size() -> None:
    with pytest.raises(MeasureError, match=r"made up to 19\.05 mm, not for 1-8"):
        strength(read_grade("2", trade()), read_thread("1-8", trade()))
