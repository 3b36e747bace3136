"""How sure, in words: what a number would have to be, and what would be chosen then."""

from pathlib import Path

import pytest
from msgspec import structs

from leakdx.explain.how_sure import how_sure_text, said_number
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.reasoning.sensitivity import Hang, Stands
from leakdx.reasoning.uncertain import Uncertain
from leakdx.store.casefile import read_case
from tests.reasoning.shipped_case import KNOWLEDGE

NEVER = Stands(None, None, None, None)
CASE = Path(__file__).parents[2] / "docs" / "cases" / "02-residue-at-the-limit.yaml"
PATH = ("reseal_with_gasket", "new_fasteners")


@pytest.fixture(scope="module")
def diagnosis() -> Diagnosis:
    return diagnose(KNOWLEDGE, read_case(CASE, KNOWLEDGE))


def hang(kind: str, of: tuple[str, ...], value: float, leader: Stands = NEVER, repair: Stands = NEVER) -> Hang:
    return Hang(kind, of, value, leader, repair, True)


def drawn(leader: float, repair: float) -> Uncertain:
    repairs = ((PATH, 90), (("reseal_with_sealant", "new_fasteners"), 10))
    return Uncertain(100, leader, repair, (("old_residue", 100),), repairs, (0.67, 0.96), (0.91, 0.93))


@pytest.mark.parametrize(
    ("kind", "of", "value", "end", "is_lower", "expected"),
    [
        ("base", ("old_residue",), 0.09, 0.03, True, "is three times rarer than we think"),
        ("base", ("crack",), 0.01, 0.024, False, "is 2.4 times commoner than we think"),
        ("leaks", ("crack",), 0.6, 0.08, True, "leaks in fewer than 8 of 100, not in 60 as we think"),
        ("link", ("crack", "torque_pattern", "even"), 0.12, 0.3, False, "shows"),
        ("stray", ("torque_pattern", "one_low"), 0.005, 0.03, False, "in more than 3 of 100, not in 0.5 as we think"),
        ("place_stray", ("origin",), 0.005, 0.03, False, "oil is seen to come out where none does"),
        (
            "word",
            ("links", "often"),
            0.6,
            0.18,
            True,
            '"often", wherever the knowledge says it, means in fewer than',
        ),
        ("amount", ("comeback_cost",), 1500, 2724, False, "a comeback costs more than 2,720 USD, not 1,500 USD"),
        ("hours", ("new_fasteners",), 1.0, 2.2, False, "takes more than 2.2 h, not 1.0"),
    ],
)
def test_a_number_in_words(
    kind: str, of: tuple[str, ...], value: float, end: float, is_lower: bool, expected: str
) -> None:
    assert expected in said_number(KNOWLEDGE, "USD", hang(kind, of, value), end, is_lower)


def test_the_page_names_both_choices_and_what_would_change_them(diagnosis: Diagnosis) -> None:
    hangs = (
        hang("base", ("old_residue",), 0.09, leader=Stands(0.03, None, "sealed_over_oil", None)),
        hang("hours", ("reseal_with_gasket",), 4.0, repair=Stands(None, 11.8, None, ("reseal_with_sealant", PATH[1]))),
    )
    text = " ".join(how_sure_text(diagnosis, hangs, drawn(1.0, 0.9)).split())
    assert "stays the likeliest in 100 of 100 draws" in text
    assert "stays the choice in 90 of 100 draws" in text
    assert "three times rarer than we think (then: sealed over oil)" in text
    assert "(then: with Reseal with sealant, without Reseal with a one-piece gasket)" in text
    assert all(len(line) <= 60 for line in how_sure_text(diagnosis, hangs, drawn(1.0, 0.9), 60).splitlines())


def test_where_nothing_would_change_it_that_is_said(diagnosis: Diagnosis) -> None:
    text = how_sure_text(diagnosis, (), drawn(1.0, 1.0))
    assert text.count("No single number changes that.") == 2
    far = hang("base", ("crack",), 0.01, leader=Stands(None, 0.9, None, "crack"))
    assert structs.replace(far).factor > 20
    assert "commoner" not in how_sure_text(diagnosis, (far,), drawn(1.0, 1.0))


def test_where_nothing_is_permitted_there_is_no_choice(diagnosis: Diagnosis) -> None:
    assert "no repair" in how_sure_text(diagnosis, (), None)
