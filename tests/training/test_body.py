"""Folders of cases by command: what is met, what is not, and what cannot be read."""

import json
from pathlib import Path

import pytest

from leakdx.cli import main
from leakdx.errors import ExitCode
from tests import shipped

DOCS_CASES = shipped.FILES[0].parent


def test_the_shipped_cases_are_met(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "cases", str(DOCS_CASES)]) == ExitCode.OK
    assert f"{len(shipped.FILES)} cases, {len(shipped.FILES)} as expected" in capsys.readouterr().out


def test_a_claim_that_is_not_met_is_named_and_is_an_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = shipped.FILES[1].read_text(encoding="utf-8").replace("leader: old_residue", "leader: crack")
    file = tmp_path / "case.yaml"
    file.write_text(text, encoding="utf-8")
    assert main(["knowledge", "cases", str(tmp_path)]) == ExitCode.NOT_MET
    line = text.splitlines().index("  leader: crack") + 1
    out = capsys.readouterr().out
    assert f"{file}:{line}: leader: expected crack; got old_residue" in out
    assert out.count(" dB on old_residue") == 3
    assert main(["knowledge", "cases", str(file), "--json"]) == ExitCode.NOT_MET
    (row,) = json.loads(capsys.readouterr().out)["cases"]
    assert [(f["line"], f["claim"], f["expected"]) for f in row["failures"]] == [(line, "leader", "crack")]


@pytest.mark.parametrize("name", ["nowhere", "empty"])
def test_a_place_without_cases_is_said(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "empty").mkdir()
    assert main(["knowledge", "cases", str(tmp_path / name)]) == ExitCode.CASE
    assert str(tmp_path / name) in capsys.readouterr().err
