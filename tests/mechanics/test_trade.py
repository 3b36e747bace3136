"""Numbers of the trade: every one says where it is from and why."""

import math
from collections.abc import Iterator

import msgspec
import pytest

from leakdx.mechanics.band import Band
from leakdx.mechanics.trade import Marked, Trade, trade


def entries(value: object, at: str = "trade") -> Iterator[tuple[str, object]]:
    yield at, value
    if isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            yield from entries(getattr(value, name), f"{at}.{name}")
    elif isinstance(value, dict):
        for name, each in value.items():
            yield from entries(each, f"{at}.{name}")


MARKED = [(at, each) for at, each in entries(trade()) if isinstance(each, Marked)]
BANDS = [
    (at, each) for at, each in entries(trade()) if isinstance(each, tuple) and len(each) == 3 and "threads." not in at
]


@pytest.mark.parametrize(("at", "entry"), MARKED, ids=[at for at, _ in MARKED])
def test_every_entry_has_a_mark_and_a_reason(at: str, entry: Marked) -> None:
    words = ("from memory", "as reproduced in a public page", "common practice, no source", "own derivation")
    assert any(word in entry.mark for word in words), entry.mark
    assert entry.reason.endswith(".")
    assert entry.reason[0].isupper()


@pytest.mark.parametrize(("at", "ends"), BANDS, ids=[at for at, _ in BANDS])
def test_every_band_goes_from_low_to_high(at: str, ends: tuple[float, float, float]) -> None:
    assert Band(*ends).likely == ends[1]


def test_strengths_grow_with_the_limits() -> None:
    for grade in trade().grades.values():
        assert [each.up_to_mm for each in grade.strengths] == sorted(each.up_to_mm for each in grade.strengths)
        assert all(each.proof < each.yields < each.tensile for each in grade.strengths)


def test_grades_of_viscosity_rise() -> None:
    starts = list(trade().viscosity_grades.from_mm2_s.values())
    assert starts == sorted(starts)


def test_a_dry_thread_scatters_no_less_than_an_oiled_one() -> None:
    states = trade().threads_state
    assert states["oiled"].scatter < states["plain"].scatter
    assert states["oiled"].nut_factor < states["plain"].nut_factor


def test_it_is_read_strictly() -> None:
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert({"threads": {"mark": "x"}}, Trade)
    assert not any(math.isnan(each) for _, each in entries(trade()) if isinstance(each, float))


def test_every_seal_is_pressed_or_sticks() -> None:
    for bed in trade().clamp.beds.values():
        assert (bed.tight_from_mpa is None) != (bed.follows_mm is None)
