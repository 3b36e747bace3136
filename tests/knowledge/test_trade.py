"""Numbers of the trade: marked, in order, changed by a shop one by one, and refused where they cannot be."""

from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

from leakdx.cli import main
from leakdx.errors import KnowledgeError
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.marks import PLAIN_MARKS
from leakdx.mechanics.trade import Marked
from tests.knowledge.places import SIX, written
from tests.shipped import knowledge, trade

OIL = "at_40: 60, at_100: 9, density_15: 860"
BROKEN = [
    (
        "oils: {75W-80: {at_40: 60, at_100: 9, mark: from memory, reason: Ours.}}",
        "K203 '75W-80' lacks",
    ),
    (
        f"oils: {{75W-80: {{{OIL}, reason: Ours.}}}}",
        "K204 '75W-80' has no mark; say where",
    ),
    (f"oils: {{75W-80: {{{OIL}, mark: a friend, reason: Seen.}}}}", "K302 there is no mark 'a friend'"),
    ("oils: {80W-90: {at_40: 0}}", "K207 'at_40' is 0, out of range; it must be above 0"),
    ("oils: {80W-90: {thick: 3}}", "K202 '80W-90' has no field 'thick'"),
    ("oil: {}", "K202 'trade' has no field 'oil'; did you mean 'oils'?"),
    (
        "seals: {sealant: {bears_c: [220, 320]}}",
        "K205 'bears_c' is not a band; write three numbers",
    ),
    ("seals: {sealant: {bears_c: [320, 270, 220]}}", "K212 'bears_c' runs from 320 down to 270; write [220, 270, 320]"),
    ("seals: {sealant: {bears_c: [-1, 2, 3]}}", "K207 'bears_c' is -1, out of range; it must be above 0"),
    ("audit: {holds: {share: 80}}", "K207 'share' is 80, out of range; a share of 1 is wanted, did you mean 0.8?"),
    ("threads_state: {oiled: {scatter: 1}}", "K207 'scatter' is 1, out of range; it must be at least 0 and below 1"),
    ("passes: {shares: [0.7, 0.3, 1]}", "K212 'shares' runs from 0.7 to 0.3; write them in rising order"),
    ("passes: {shares: [0.5, 0.9]}", "K207 the last pass goes to 0.9 of the torque; end with 1, the whole torque"),
    ("flatness: {dial: {unit: psi}}", "K414 1 psi is a pressure, a length is wanted"),
    ("viscosity_grades: {from_mm2_s: {'70': 3}}", "K212 'from_mm2_s' runs from 3.8 to 3; write them in rising order"),
    (
        'grades: {"8": {strengths: [{up_to_mm: 38, proof: 900, tensile: 800, yields: 850}]}}',
        "K212 '8' does not yield between its proof and its tensile stress",
    ),
]


def laid_over(tmp_path: Path, text: str) -> Knowledge:
    numbers = (shipped_folder() / "trade.yaml", shipped_folder() / "sources.yaml")
    return load_knowledge([SIX, *numbers, written(tmp_path / "shop", {"ours.yaml": f"trade:\n  {text}\n"})])


def marked(value: object, at: str = "trade") -> Iterator[tuple[str, Marked]]:
    if isinstance(value, Marked):
        yield at, value
    if isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            yield from marked(getattr(value, name), f"{at}.{name}")
    elif isinstance(value, dict):
        for name, each in value.items():
            yield from marked(each, f"{at}.{name}")


def test_every_number_has_a_mark_and_a_reason() -> None:
    found = dict(marked(trade()))
    assert len(found) > 40
    for at, entry in found.items():
        assert entry.mark in (*PLAIN_MARKS, *knowledge().sources), at
        assert entry.reason.endswith("."), at
        assert entry.reason[0].isupper(), at


def test_a_dry_thread_scatters_no_less_than_an_oiled_one() -> None:
    states = trade().threads_state
    assert states["oiled"].scatter < states["plain"].scatter
    assert states["oiled"].nut_factor < states["plain"].nut_factor


def test_every_seal_is_pressed_or_sticks() -> None:
    for bed in trade().clamp.beds.values():
        assert (bed.tight_from_mpa is None) != (bed.follows_mm is None)


def test_a_shop_changes_one_number_and_keeps_the_others(tmp_path: Path) -> None:
    numbers = laid_over(tmp_path, "seals: {sealant: {bears_c: [200, 230, 260]}}").trade_numbers
    assert numbers.seals["sealant"].bears_c == (200, 230, 260)
    assert numbers.seals["sealant"].words == trade().seals["sealant"].words
    assert numbers.seals["gasket"] == trade().seals["gasket"]
    assert numbers.oils == trade().oils


def test_a_shop_adds_its_oil(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = f"oils: {{75W-80: {{{OIL}, mark: from memory, reason: A thin oil that we have.}}}}"
    folder = written(tmp_path / "shop", {"ours.yaml": f"trade:\n  {text}\n"})
    line = ["calc", "breather", "--cold", "20degC", "--hot", "80degC", "--oil", "75W-80"]
    assert main([*line, "--knowledge", str(folder)]) == 0
    assert "pressure over the outside" in capsys.readouterr().out
    assert main(line) == 2
    assert "invalid choice: '75W-80'" in capsys.readouterr().err


@pytest.mark.parametrize(("text", "says"), BROKEN, ids=[text for text, _ in BROKEN])
def test_what_cannot_be_is_one_sentence_at_its_place(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(KnowledgeError) as caught:
        laid_over(tmp_path, text)
    assert len(caught.value.faults) == 1
    (line,) = caught.value.faults
    assert "ours.yaml:2:" in line
    assert says in line


def test_a_knowledge_without_them_works_nothing_out() -> None:
    six = load_knowledge([SIX])
    assert six.trade is None
    with pytest.raises(KnowledgeError, match="the knowledge has no 'trade'"):
        _ = six.trade_numbers
