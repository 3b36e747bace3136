"""``leakdx why`` and its options: for people, for machines, and called wrongly."""

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


def test_what_if_and_why_not_for_people_and_for_machines(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    called = ["why", case, "--if", "breather_wont_blow: yes", "--knowledge", SIX]
    assert main(called) == 0
    assert "TRIED, NOT WRITTEN DOWN" in capsys.readouterr().out
    assert main([*called, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["moved"][0]["id"] == "breather_blocked"
    assert main(["why", case, "breather_blocked", "--not", "--knowledge", SIX]) == 0
    assert "what would speak for it" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--how-sure", "--draws", "0"], "--draws is a count of 1 to 10000, not 0"),
        (["--how-sure", "--draws", "20000"], "--draws is a count of 1 to 10000, not 20000"),
        (["crack", "--how-sure"], "--how-sure is about the whole answer; name no THING with it"),
        (["--json"], "--json goes with --if, --change or --how-sure"),
        (["--draws", "3"], "--draws goes with --how-sure"),
        (["--not"], "--not is about one thing; name it, such as leakdx why CASE crack --not"),
        (["crack", "--change"], "--change is about the whole answer; name no THING with it"),
        (["--change", "--pairs", "-1"], "--pairs is a count of 0 to 100000, not -1"),
        (["--if", "crackle"], "'crackle' can't be tried: there is no sign 'crackle'"),
    ],
)
def test_called_wrongly_it_says_how(words: list[str], said: str, case: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", case, *words]) == 2
    assert said in capsys.readouterr().err
