"""``leakdx tree``: as text, for machines, as a picture, and called wrongly."""

import json
from pathlib import Path

import pytest

from leakdx.cli import main
from leakdx.commands.parser import parser
from leakdx.reasoning.decision_tree import Limits
from tests.test_cli import SIX


def test_it_is_cut_by_default_where_any_tree_is() -> None:
    """The parser says the numbers again, since what makes a tree takes long to load."""
    args, limits = parser().parse_args(["tree"]), Limits()
    assert (args.cut, args.depth, args.floor) == (limits.cut, limits.depth, limits.floor)


def test_text_and_json_say_the_same_tree(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["tree", "--knowledge", SIX]) == 0
    text = capsys.readouterr().out
    assert main(["tree", "--knowledge", SIX, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert text.count("END") == found["summary"]["leaves"]
    assert found["tree"]["probability"] == 1


def test_a_picture_is_written_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "tree.svg"
    called = ["tree", "--knowledge", SIX, "--depth", "1", "-o"]
    assert main([*called, str(out)]) == 0
    assert out.read_bytes().startswith(b"<?xml")
    assert main([*called, str(out)]) == 5
    assert "stands already and was not overwritten" in capsys.readouterr().err
    assert main([*called, str(out), "--force"]) == 0
    assert main([*called, str(tmp_path / "tree.dot")]) == 0
    assert "digraph" in (tmp_path / "tree.dot").read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--cut", "0"], "--cut is a chance of 0.0001 to 0.5, not 0"),
        (["--cut", "nan"], "--cut is a chance"),
        (["--depth", "0"], "--depth is a count of 1 to 12 answers, not 0"),
        (["--floor", "-1"], "--floor is 0 to 480 minutes, not -1"),
        (["--page", "9"], "there is no page '9'"),
        (["-o", "tree.gif"], "'tree.gif' does not end in .svg, .png or .dot"),
        (["-o", "tree.svg", "--json"], "leave out -o"),
        (["-o", "tree.dot", "--dark"], "--dark is for .svg and .png"),
        (["-o", "-", "--page", "all"], "all pages need files to go to"),
    ],
)
def test_called_wrongly_it_says_how(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["tree", "--knowledge", SIX, "--cut", "0.2", *words]) == 2
    assert said in capsys.readouterr().err
