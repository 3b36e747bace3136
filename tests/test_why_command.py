"""``leakdx why --how-sure``: for people, for machines, and called wrongly."""

import json
from pathlib import Path

import pytest

from leakdx.cli import main
from tests.test_cli import GOOD, SIX


@pytest.fixture
def case(tmp_path: Path) -> str:
    path = tmp_path / "case.yaml"
    path.write_text(GOOD, encoding="utf-8")
    return str(path)


def test_how_sure_for_people_and_for_machines(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    called = ["why", case, "--how-sure", "--draws", "2", "--knowledge", SIX]
    assert main(called) == 0
    text = capsys.readouterr().out
    assert "LIKELIEST CAUSE" in text
    assert "in 2 of 2 draws" in text
    assert main([*called, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["together"]["draws"] == 2
    assert {"kind", "of", "value", "leader", "repair", "exact"} == set(found["hangs_on"][0])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--how-sure", "--draws", "0"], "--draws is a count of 1 to 10000, not 0"),
        (["--how-sure", "--draws", "20000"], "--draws is a count of 1 to 10000, not 20000"),
        (["crack", "--how-sure"], "--how-sure is about the whole answer; name no THING with it"),
        (["--json"], "--json and --draws go with --how-sure"),
    ],
)
def test_called_wrongly_it_says_how(words: list[str], said: str, case: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", case, *words]) == 2
    assert said in capsys.readouterr().err
