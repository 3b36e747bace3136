"""Each kind of claim is met by what is so and missed by what is not, on one truck whose answer is known."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from leakdx.errors import CaseError
from leakdx.training.body import read_truck
from leakdx.training.expectation import CLAIMS, read_expectation
from leakdx.training.judge import Failure, heaviest, judge
from tests import shipped

CRACK = next(file for file in shipped.FILES if file.stem.startswith("04"))
"""Not fit to drive, a crack in the metal, a part to replace, nothing to weld shut."""

MET: dict[str, Any] = {
    "fit_to_drive": "no",
    "where": "housing_metal",
    "leader": ["crack", "porosity"],
    "not_leading": ["old_residue"],
    "family": "metal",
    "pair": ["crack"],
    "clear_at": "cause",
    "required": [["replace_cracked_part", "ask_maker"]],
    "at_most_extra": 4,
    "none": False,
    "forbidden": ["weld_casting"],
    "permitted": ["replace_cracked_part"],
    "looks_before": {"carrier_out": "breather_blow", "drained": ["level_on_arrival"]},
    "caution_first": ["hot_work", "leak_on_road"],
    "put_right": [],
    "proved": ["crack"],
    "ruled_out": ["lock_pushes_air"],
    "could_be_none": False,
}
MISSED: dict[str, Any] = {
    "fit_to_drive": ["yes", "recheck"],
    "where": "wheel_seal",
    "leader": "porosity",
    "not_leading": ["porosity", "crack"],
    "family": ["bond", "gasket"],
    "pair": ["crack", "old_spill"],
    "clear_at": ["none", "zone"],
    "required": ["replace_wheel_seal"],
    "at_most_extra": 0,
    "none": True,
    "forbidden": ["clear_breather"],
    "permitted": ["weld_casting"],
    "holds_before": ["clear_breather"],
    "decision": "release_and_recheck",
    "next_check": "ask_weld",
    "looks_before": {"clear_breather": "breather_look"},
    "caution": ["brakes_oiled"],
    "caution_first": "brakes_oiled",
    "put_right": "dress_face",
    "proved": ["crack", "porosity"],
    "ruled_out": "crack",
    "could_be_none": True,
}


def failures(tmp_path: Path, expect: dict[str, Any]) -> tuple[Failure, ...]:
    """What a case with the log of the cracked truck misses of ``expect``."""
    document = yaml.safe_load(CRACK.read_text(encoding="utf-8"))
    file = tmp_path / "case.yaml"
    file.write_text(yaml.safe_dump({**document, "expect": expect}), encoding="utf-8")
    expectation = read_expectation(file, shipped.knowledge())
    assert expectation is not None
    return judge(shipped.diagnosis("04"), expectation)


@pytest.mark.parametrize("claim", MET)
def test_a_true_claim_is_met(claim: str, tmp_path: Path) -> None:
    assert failures(tmp_path, {claim: MET[claim]}) == ()


@pytest.mark.parametrize("claim", CLAIMS)
def test_a_false_claim_is_missed_and_its_line_named(claim: str, tmp_path: Path) -> None:
    (failure,) = failures(tmp_path, {claim: MISSED[claim]})
    lines = (tmp_path / "case.yaml").read_text(encoding="utf-8").splitlines()
    assert failure.claim == claim
    assert lines[failure.spot.line - 1].strip().startswith(f"{claim}:")
    assert str(failure).startswith(f"{tmp_path / 'case.yaml'}:{failure.spot.line}: {claim}: expected ")


def test_three_observations_that_weigh_most_are_named() -> None:
    made = shipped.diagnosis("04")
    named = heaviest(made)
    weights = sorted((abs(o.decibans.get("crack", 0.0)) for o in made.weights), reverse=True)
    assert len(named) == 3
    assert f"{weights[0]:.1f} dB on crack" in named[0].replace("-", "").replace("+", "")


@pytest.mark.parametrize(
    ("expect", "sentence"),
    [
        ("{leadr: crack}", "'expect' has no field 'leadr'; did you mean 'leader'?"),
        ("{leader: crak}", "the knowledge has no 'crak' among its causes; did you mean 'crack'?"),
        ("{fit_to_drive: maybe}", "'fit_to_drive' cannot be 'maybe'"),
        ("{at_most_extra: -1}", "'at_most_extra' is -1, out of range"),
        ("{serves: {easy: crack}}", "'serves' cannot be 'easy'"),
        ("[crack]", "'expect' is not a mapping"),
    ],
)
def test_a_slip_is_named_with_its_place(expect: str, sentence: str, tmp_path: Path) -> None:
    file = tmp_path / "case.yaml"
    file.write_text(f"case: X\nexpect: {expect}\n", encoding="utf-8")
    with pytest.raises(CaseError) as raised:
        read_expectation(file, shipped.knowledge())
    assert sentence in str(raised.value)
    assert str(raised.value).startswith(f"{file}:2:")


def test_a_case_without_expect_expects_nothing(tmp_path: Path) -> None:
    file = tmp_path / "case.yaml"
    file.write_text("case: X\nlog: []\n", encoding="utf-8")
    assert read_truck(file, shipped.knowledge()).failures == ()
