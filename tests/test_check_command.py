"""``leakdx knowledge check``: the same for people and for machines, shallow and deep."""

import json
from pathlib import Path
from typing import Any

import pytest

from leakdx.cli import main
from leakdx.errors import ExitCode
from leakdx.knowledge.hints import Hint
from leakdx.knowledge.loader import load_knowledge
from tests.knowledge.places import BAD, DATA, SIX, written

TRUCK = """\
# Invented for the demo.
case: LT-1
log:
  - {who: AB, wet: [carrier_joint], dry: [pinion_seal]}
"""


def said(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> Any:
    assert main(["knowledge", "check", *words, "--json"]) == code
    return json.loads(capsys.readouterr().out)


def test_counts_and_hints_for_machines(capsys: pytest.CaptureFixture[str]) -> None:
    found = said(capsys, str(SIX))
    known = load_knowledge([SIX])
    assert found["sound"] is True
    assert found["counts"]["causes"] == len(known.causes)
    assert found["counts"]["signs"] + found["counts"]["place_signs"] == len(known.signs)
    assert found["mean_count"]["causes_per_wet_axle"] == pytest.approx(1.12)
    assert {row["code"] for row in found["faults"]} == {Hint.UNUSED_WORD}
    assert set(found["faults"][0]) == {"file", "line", "column", "code", "wrong", "right"}


def test_deep_finds_more_and_says_the_same_to_people(capsys: pytest.CaptureFixture[str]) -> None:
    rows = said(capsys, str(SIX), "--deep")["faults"]
    assert {row["code"] for row in rows} > {Hint.UNUSED_WORD, Hint.VOTES_TWICE, Hint.CHECK_NOT_CHOSEN}
    assert main(["knowledge", "check", str(SIX), "--deep"]) == 0
    printed = capsys.readouterr().out
    for row in rows:
        assert f"{row['file']}:{row['line']}:{row['column']}: {row['code']} {row['wrong']}; {row['right']}\n" in printed


def test_a_case_that_is_offered_a_check_clears_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cases = written(tmp_path, {"one.yaml": TRUCK})
    without = {row["wrong"] for row in said(capsys, str(SIX), "--deep")["faults"]}
    found = {row["wrong"] for row in said(capsys, str(SIX), "--deep", "--cases", str(cases))["faults"]}
    assert found < without
    assert all("is offered" in wrong for wrong in without - found)


def test_faults_for_machines_have_their_place(capsys: pytest.CaptureFixture[str]) -> None:
    own = BAD / "K303_unknown_word.yaml"
    found = said(capsys, str(own), code=ExitCode.KNOWLEDGE)
    assert found["sound"] is False
    assert "K303" in {row["code"] for row in found["faults"]}
    assert all(row["line"] >= 1 and row["wrong"] and row["right"] for row in found["faults"])


def test_a_share_out_of_reach_is_placed_at_its_cause(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    own = written(tmp_path / "whole", {p.name: p.read_text(encoding="utf-8") for p in SIX.iterdir()})
    text = (own / "belief.yaml").read_text(encoding="utf-8").replace("leaks: at times", "leaks: hardly", 1)
    (own / "belief.yaml").write_text(text, encoding="utf-8")
    found = said(capsys, str(own), code=ExitCode.KNOWLEDGE)
    assert [row["code"] for row in found["faults"]] == ["K405"]
    assert found["faults"][0]["file"].endswith("belief.yaml")


def test_a_case_that_cannot_be_read_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cases = written(tmp_path, {"one.yaml": TRUCK.replace("carrier_joint", "carrier_jiont")})
    assert main(["knowledge", "check", str(DATA / "six"), "--deep", "--cases", str(cases)]) == ExitCode.CASE
    assert "one.yaml:4" in capsys.readouterr().err
