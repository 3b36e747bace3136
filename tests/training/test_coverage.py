"""Coverage on the six causes, where what fires and what just misses can be told by hand."""

import json
from pathlib import Path

import pytest

from leakdx.cli import main
from leakdx.knowledge.loader import load_knowledge
from leakdx.training.body import read_trucks
from leakdx.training.coverage import Coverage, coverage
from tests.knowledge.places import SIX, written

KNOWLEDGE = load_knowledge([SIX])
WASHED = """\
case: CV-1
log:
  - {who: AB, told: sealing_material, is: gasket}
  - {who: AB, saw: breather_wont_blow, is: "no"}
  - {who: AB, did: washed}
expect:
  because: Nothing here is surprising to anybody.
  serves: {near_miss: breather_blocked}
"""
PEELED = """\
case: CV-2
log:
  - {who: AB, wet: [carrier_joint], dry: [pinion_seal]}
  - {who: AB, saw: bead_peels_clean, is: "yes", sure: fairly}
expect:
  because: A bare face under the bead is a bond that never was.
  serves: {plain: old_residue}
  required: [reseal_with_sealant]
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Coverage:
    folder = written(tmp_path_factory.mktemp("cases"), {"1.yaml": WASHED, "2.yaml": PEELED})
    return coverage(KNOWLEDGE, list(read_trucks([folder], KNOWLEDGE)))


def test_a_rule_fires_at_any_point_of_a_log(found: Coverage) -> None:
    assert found.rules["look_before_wash"].fires == ("CV-1", "CV-2")
    assert found.rules["look_before_wash"].just_missed == ("CV-1",)  # once it is washed
    assert found.rules["no_sealant_on_gasket"].fires == ("CV-1",)
    assert found.rules["bead_means_sealant"].fires == ("CV-2",)


def test_the_only_premise_is_just_missed_by_another_answer_not_by_silence(found: Coverage) -> None:
    assert found.rules["breather_first"].just_missed == ("CV-1",)
    assert found.rules["residue_established"].just_missed == ("CV-2",)  # seen, but not for sure
    assert found.rules["no_sealant_on_gasket"].just_missed == ("CV-2",)  # sealant, by the bead
    assert found.rules["face_reading_beyond"].just_missed == ()


def test_what_nobody_asked_for_is_no_near_miss(found: Coverage) -> None:
    assert found.rules["bead_means_sealant"].just_missed == ()  # its other premise is that something is absent
    assert found.rules["face_reading_within"].just_missed == ()


def test_causes_by_role_and_repairs(found: Coverage) -> None:
    assert found.causes["old_residue"]["plain"] == ("CV-2",)
    assert found.causes["breather_blocked"]["near_miss"] == ("CV-1",)
    assert found.repairs["reseal_with_sealant"].required == ("CV-2",)
    assert found.repairs["reseal_with_sealant"].forbidden == ("CV-1",)
    assert found.reached()["causes, plain"] == (1, 6)
    gaps = found.gaps()
    assert "rule 'face_reading_beyond' fires in no case" in gaps
    assert "cause 'old_residue' has no case that serves it as disguised" in gaps
    assert not any("'reseal_with_sealant'" in gap for gap in gaps)


def test_printed_and_for_machines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = str(written(tmp_path, {"1.yaml": WASHED}))
    main(["knowledge", "cases", folder, "--knowledge", str(SIX), "--coverage"])
    out = capsys.readouterr().out
    assert "rule 'drops_fall' fires in no case" in out
    assert "1 cases reach" in out
    main(["knowledge", "cases", folder, "--knowledge", str(SIX), "--coverage", "--json"])
    said = json.loads(capsys.readouterr().out)["coverage"]
    assert said["rules"]["no_sealant_on_gasket"]["fires"] == ["CV-1"]
    assert said["reached"]["rules that fire"][1] == len(KNOWLEDGE.rules)
