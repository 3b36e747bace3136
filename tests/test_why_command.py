"""``leakdx why --how-sure``: for people, for machines, and called wrongly."""

import json

import pytest

from leakdx.cli import main

CASE = "docs/cases/04-crack-line.yaml"


def test_how_sure_for_people_and_for_machines(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", CASE, "--how-sure", "--draws", "2"]) == 0
    text = capsys.readouterr().out
    assert "LIKELIEST CAUSE" in text
    assert "in 2 of 2 draws" in text
    assert main(["why", CASE, "--how-sure", "--draws", "2", "--json"]) == 0
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
def test_called_wrongly_it_says_how(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", CASE, *words]) == 2
    assert said in capsys.readouterr().err
