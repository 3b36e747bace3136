"""``leakdx calc`` as a person calls it: what it answers, and what it says of what cannot be."""

from collections.abc import Sequence

import pytest
from hypothesis import strategies as st

from leakdx.cli import main
from leakdx.errors import ExitCode


def called(capsys: pytest.CaptureFixture[str], line: str) -> str:
    """What is printed."""
    assert main(["calc", *line.split()]) == ExitCode.OK
    return capsys.readouterr().out


def is_refused(capsys: pytest.CaptureFixture[str], line: str, said: str) -> None:
    """No answer, and one sentence that holds the words."""
    assert main(["calc", *line.split()]) == ExitCode.USAGE
    answer = capsys.readouterr()
    assert answer.out == ""
    assert said in answer.err
    assert len(answer.err.strip().splitlines()) == 1
    assert "should not happen" not in answer.err


def is_answered_or_refused(
    capsys: pytest.CaptureFixture[str], line: str, hostile: Sequence[str], data: st.DataObject
) -> None:
    """With some words of the line put out by hostile ones: an answer, or one sentence."""
    words = line.split()
    for place in data.draw(st.lists(st.integers(1, len(words) - 1), min_size=1, max_size=3)):
        words[place] = data.draw(st.sampled_from(hostile))
    code = main(["calc", *words])
    answer = capsys.readouterr()
    assert code in (ExitCode.OK, ExitCode.USAGE), answer.err
    assert len(answer.err.strip().splitlines()) == (code == ExitCode.USAGE)
    assert "\x1b" not in answer.err + answer.out
