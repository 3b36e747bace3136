"""A word that someone typed, and the entry that was meant."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.names import alike, meant

SHIPPED = load_knowledge([shipped_folder()])
DONE = {**SHIPPED.acts, **SHIPPED.repairs}


@pytest.mark.parametrize(
    ("typed", "id"),
    [
        ("washed", "washed"),
        ("wash", "washed"),
        ("Bolts tightened", "tightened"),
        ("test drive", "driven"),
        ("the carrier was pulled", "carrier_out"),
        ("resealed with sealant", "reseal_with_sealant"),
        ("reseal_sealant", "reseal_with_sealant"),
        ("silicone", "reseal_with_sealant"),
        ("replaced the pinion seal", "replace_pinion_seal"),
        ("changed oil", "change_oil"),
        ("resealed", None),
        ("new seal", None),
        ("looked", None),
        ("the", None),
        ("", None),
    ],
)
def test_the_words_of_a_mechanic_find_what_was_done_or_nothing(typed: str, id: str | None) -> None:
    assert meant(typed, DONE) == id


def test_words_that_mean_several_name_them() -> None:
    for typed in ("sealed", "reseal", "resealed"):
        assert list(alike(typed, DONE))[:2] == ["reseal_with_gasket", "reseal_with_sealant"]


@given(st.sampled_from(sorted(DONE)))
def test_every_entry_is_found_by_its_id_and_its_name(id: str) -> None:
    assert meant(id, DONE) == id
    assert meant(DONE[id].name.upper(), DONE) == id


@given(st.text())
def test_whatever_is_typed_means_one_entry_or_none(typed: str) -> None:
    assert meant(typed, DONE) in {None, *DONE}
    assert set(alike(typed, DONE)) <= set(DONE)
