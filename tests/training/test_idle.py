"""The removal test on the six causes and two trucks, where what is at work can be told by hand."""

import json
import re
from pathlib import Path
from typing import get_args

import numpy as np
import pytest

from leakdx.case import Note
from leakdx.cli import main
from leakdx.errors import CaseError, ExitCode
from leakdx.knowledge.loader import load_knowledge
from leakdx.reasoning.compiled import compile_links
from leakdx.reasoning.shares import compile_model, leaking_after_complaint
from leakdx.training.body import Truck, read_trucks
from leakdx.training.idle import Removal
from leakdx.training.items import Item, Kind, items, told_without, without
from leakdx.training.kept import read_kept
from tests.knowledge.places import SIX, written
from tests.shipped import knowledge

ROOT = Path(__file__).parents[2]
KEPT = ROOT / "tests" / "data" / "kept_idle.yaml"
DOCUMENT = ROOT / "docs" / "knowledge_lint.md"
KNOWLEDGE = load_knowledge([SIX])
NAMES = [item.name for item in items(KNOWLEDGE)]
GASKET = """\
case: ID-1
log:
  - {who: AB, told: sealing_material, is: gasket}
  - {who: AB, wet: [carrier_joint], dry: [pinion_seal]}
  - {who: AB, saw: torque_pattern, is: neighbours_low}
expect:
  because: Neighbours that are low never clamped the gasket, and no sealant goes on one.
  forbidden: [reseal_with_sealant]
"""
PRESSURE = """\
case: ID-2
log:
  - {who: AB, told: sealing_material, is: sealant}
  - {who: AB, wet: [pinion_seal]}
  - {who: AB, saw: breather_wont_blow, is: "yes"}
expect:
  because: Nothing new is sealed in before the axle can breathe.
  forbidden: [reseal_with_sealant]
"""


@pytest.fixture(scope="module")
def cases(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("cases"), {"1.yaml": GASKET, "2.yaml": PRESSURE})


@pytest.fixture(scope="module")
def trucks(cases: Path) -> list[Truck]:
    return list(read_trucks([cases], KNOWLEDGE))


@pytest.fixture(scope="module")
def found(trucks: list[Truck]) -> dict[str, str]:
    """Piece -> the case that misses it; "" where it is idle."""
    return {moved.item.name: moved.case for moved in Removal(KNOWLEDGE, trucks).all()}


def test_every_piece_has_a_name_of_its_own() -> None:
    assert len(set(NAMES)) == len(NAMES)
    links = sum(len(c.shows) + len(c.looks) for c in KNOWLEDGE.causes.values())
    assert sum(name.startswith("link ") for name in NAMES) == links
    assert "link uneven_torque > torque_pattern" in NAMES
    assert "shift sealing_material > faces" in NAMES


@pytest.mark.parametrize("item", list(items(KNOWLEDGE)), ids=lambda item: item.name)
def test_without_a_piece_just_that_piece_is_gone(item: Item) -> None:
    gone = without(KNOWLEDGE, item)
    left = [other.name for other in items(gone)]
    if item.kind == "answer":  # it stays a word, but nothing says it any more
        assert left == NAMES
        concluded = [(c.history, c.is_) for rule in gone.rules.values() for c in rule.then]
        assert item.where not in concluded
        assert all(axle.fitted.get(item.where[0]) != item.where[1] for axle in gone.axles.values())
    else:
        assert left == [name for name in NAMES if name != item.name]


def test_an_answer_is_taken_out_of_a_case_and_numbers_stay(trucks: list[Truck]) -> None:
    case = told_without(trucks[0].case, Item("answer", ("sealing_material", "gasket")))
    assert isinstance(case.log[0], Note)
    assert [entry.number for entry in case.log] == [1, 2, 3]
    other = Item("answer", ("sealing_material", "sealant"))
    assert told_without(trucks[0].case, other) == trucks[0].case


@pytest.mark.parametrize("kind", ["link", "shift", "rule"])
def test_base_chances_hold_without_what_the_complaint_does_not_know(kind: str) -> None:
    model = compile_model(KNOWLEDGE)
    for item in items(KNOWLEDGE):
        if item.kind == kind:
            bare = compile_links(without(KNOWLEDGE, item))
            np.testing.assert_allclose(leaking_after_complaint(bare, model.log_odds), model.shares, atol=1e-9)


def test_what_is_at_work(found: dict[str, str]) -> None:
    assert found["rule no_sealant_on_gasket"] == "ID-1"  # a claim fails
    assert found["rule breather_first"] == "ID-2"
    assert found["link breather_blocked > breather_wont_blow"] == "ID-2"
    assert found["link uneven_torque > torque_pattern"] == "ID-1"


def test_what_is_idle(found: dict[str, str]) -> None:
    assert found["rule face_reading_beyond"] == ""  # no truck was measured
    assert found["rule residue_established"] == ""
    assert found["shift sealing_material > faces"] == ""
    assert found["answer sealing_material: both"] == ""


def test_the_same_in_two_processes_and_for_machines(
    cases: Path, found: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["knowledge", "idle", str(cases), "--knowledge", str(SIX), "--json", "--jobs", "2"]
    assert main(words) == ExitCode.NOT_MET
    printed = capsys.readouterr()
    rows = json.loads(printed.out)["items"]
    assert {row["item"]: row["case"] or "" for row in rows} == found
    assert f"{len(found)} of {len(found)} taken out" in printed.err


def test_kept_with_a_reason(
    cases: Path, tmp_path: Path, found: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    kept = tmp_path / "kept.yaml"
    kept.write_text("kept:\n  rule residue_established: A technician wants to hear that it is proved.\n", "utf-8")
    words = ["knowledge", "idle", str(cases), "--knowledge", str(SIX), "--only", "rule", "--kept", str(kept)]
    assert main(words) == ExitCode.NOT_MET
    out = capsys.readouterr().out
    assert "rule residue_established: idle, kept: A technician wants" in out
    idle = [name for name, case in found.items() if name.startswith("rule ") and not case]
    assert f"{len(idle)} of {len(KNOWLEDGE.rules)} pieces are idle" in out


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("kept:\n  rule residue_establshed: It is right all the same.\n", "did you mean 'rule residue_established'?"),
        ("kept:\n  rule residue_established: because\n", "there is no reason to keep 'rule residue_established'"),
        ("rules:\n  residue_established: It is right all the same.\n", "there is no mapping 'kept:'"),
        ("kept: [rule\n", "k.yaml:"),
    ],
)
def test_slips_in_the_file_of_reasons(text: str, wrong: str, tmp_path: Path) -> None:
    file = tmp_path / "k.yaml"
    file.write_text(text, "utf-8")
    with pytest.raises(CaseError, match=str(file)) as caught:
        read_kept(file, NAMES)
    assert wrong in str(caught.value)


def test_what_is_said_to_be_kept_is_a_piece_of_the_shipped_knowledge() -> None:
    assert read_kept(KEPT, [item.name for item in items(knowledge())])


def test_the_figures_of_the_last_run_add_up() -> None:
    text = DOCUMENT.read_text(encoding="utf-8").partition("The last run")[2].partition("Each is kept")[0]
    found = [(int(idle), int(of)) for idle, of in re.findall(r"(\d+) of (\d+) ", text)]
    whole, *kinds = found
    assert len(kinds) == len(get_args(Kind))
    assert whole == (sum(idle for idle, _ in kinds), sum(of for _, of in kinds))
