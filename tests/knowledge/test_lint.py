"""Hints stand where they should, and say what can be computed by hand."""

from math import isclose, log10
from pathlib import Path

import pytest

from leakdx.knowledge.lint import holds_about, lint, mean_count, named, separation
from leakdx.knowledge.loader import load_knowledge
from tests.knowledge.places import SIX, changed


def said(tmp_path: Path, text: str, code: str) -> list[str]:
    return [str(hint) for hint in lint(changed(tmp_path, text)) if hint.code == code]


def test_the_mean_count_stands_beside_what_it_means() -> None:
    known = load_knowledge([SIX])
    assert isclose(mean_count(known), 1.12)
    (hint,) = [hint for hint in lint(known) if hint.code == "L501"]
    assert "about 77 of 100" in hint.right
    assert str(hint.spot) == known.words.at


@pytest.mark.parametrize(("mean", "holds"), [(1.05, 0.84), (1.12, 0.77), (1.25, 0.66)])
def test_how_often_a_single_repair_holds(mean: float, holds: float) -> None:
    assert isclose(holds_about(mean), holds, abs_tol=0.006)


def test_a_sign_that_nobody_uses_or_reveals(tmp_path: Path) -> None:
    text = "signs:\n  hums: {name: it hums, mark: from memory, reason: Ours., hangs_on: leaking, stray: some}\n"
    assert said(tmp_path, text, "L502") == [
        "local/change.yaml:2:3: L502 no cause shows 'hums' and no rule asks for it; let a cause show it, or take it out"
    ]
    assert said(tmp_path, text, "L503")[0].startswith("local/change.yaml:2:3: L503 no check reveals 'hums'; ")


TWIN = """causes:
  old_residue: {{share: 13}}
  twin:
    name: a twin
    plain: another of the kind
    mark: from memory
    reason: For a test.
    family: bond
    share: 13
    leaks: often
    zone: carrier_joint
    shows: {{bead_peels_clean: {word}, wet_soon_after_reseal: often}}
    looks: {{torque_pattern: {{one_low: hardly}}}}
"""


def test_causes_that_no_sign_tells_apart(tmp_path: Path) -> None:
    (hint,) = said(tmp_path, TWIN.format(word="mostly"), "L504")
    assert "no sign tells 'twin' from 'old_residue'" in hint


def test_near_twins_are_weighed(tmp_path: Path) -> None:
    (hint,) = said(tmp_path, TWIN.format(word="often"), "L505")
    known = changed(tmp_path, TWIN.format(word="often"))
    weight = separation(known, known.causes["twin"], known.causes["old_residue"])
    p, q = 1 - 0.4 * 0.995, 1 - 0.2 * 0.995
    assert isclose(weight, 5 * ((p - q) * log10(p / q) + (q - p) * log10((1 - p) / (1 - q))))
    assert f"{weight:.1f} dB" in hint


def test_words_sources_and_findings_that_nothing_names(tmp_path: Path) -> None:
    assert any("'commonly' of strays" in line for line in said(tmp_path, "acts: {}", "L506"))
    text = (
        "sources: {other_book: {title: T, where: W, status: read}}\n"
        "findings: {all_dry: {name: all dry, mark: from memory, reason: Ours.}}\n"
    )
    assert {line.split("'")[1] for line in said(tmp_path, text, "L507")} == {"other_book", "all_dry"}


def test_a_finding_that_no_rule_states(tmp_path: Path) -> None:
    text = (
        "findings: {all_dry: {name: all dry, mark: from memory, reason: Ours.}}\n"
        "rules: {drops_fall: {when: [{finding: all_dry}]}}\n"
    )
    assert len(said(tmp_path, text, "L508")) == 1


def test_a_cause_that_no_repair_cures(tmp_path: Path) -> None:
    (only,) = said(tmp_path, TWIN.format(word="often").replace("bond", "clamp"), "L509")
    assert only == (
        "local/change.yaml:3:3: L509 no repair cures 'twin', so where it leads nothing but asking the axle maker is "
        "left; let a repair cure it, or write one"
    )


def test_what_the_entries_name() -> None:
    found = named(load_knowledge([SIX]))
    assert found["instruments"] == {"torque_wrench"}
    assert found["words.shifts"] == {"clearly more"}
    assert {"bench_book", "invented for the demo"} <= found["marks"]
    assert "always" not in found["causes"]
