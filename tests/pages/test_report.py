"""``leakdx report`` as a person calls it: what it makes, where it goes, and what it says of what cannot be."""

import builtins
import stat
from pathlib import Path
from typing import Any

import pytest

from leakdx.cli import main
from leakdx.commands.parser import parser
from leakdx.commands.report import WALL
from leakdx.errors import ExitCode
from tests.pages.made import READERS
from tests.shipped import FILES

CASE = str(FILES[0])


def called(*words: str) -> int:
    return main(["report", CASE, *words])


@pytest.fixture
def no_typst(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = builtins.__import__

    def without(name: str, *given: Any, **more: Any) -> Any:
        if name == "typst":
            raise ImportError(name)
        return usual(name, *given, **more)

    monkeypatch.setattr(builtins, "__import__", without)


def test_every_page_can_be_asked_for() -> None:
    for reader in (*READERS, WALL):
        assert parser().parse_args(["report", CASE, "--for", reader]).reader == reader


def test_without_a_name_it_is_a_pdf_named_after_the_case_for_its_owner_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert called("--for", "tag") == ExitCode.OK
    made = tmp_path / "01-pinion-seal-tag.pdf"
    assert made.read_bytes().startswith(b"%PDF")
    assert stat.S_IMODE(made.stat().st_mode) == 0o600
    assert capsys.readouterr().err == "01-pinion-seal-tag.pdf is written\n"


def test_the_name_says_what_is_made_and_nothing_is_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "page.html"
    assert called("--for", "tag", "-o", str(out)) == ExitCode.OK
    assert out.read_bytes().startswith(b"<!DOCTYPE html>")
    assert called("--for", "tag", "-o", str(out)) == ExitCode.STORAGE
    assert called("--for", "tag", "-o", str(out), "--force") == ExitCode.OK
    capsys.readouterr()
    assert called("--for", "tag", "-o", str(out), "--to", "pdf") == ExitCode.USAGE
    assert "leave one of them out" in capsys.readouterr().err


def test_a_page_goes_to_standard_output(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert called("--for", "tag", "--to", "html", "-o", "-") == ExitCode.OK
    assert capfdbinary.readouterr().out.startswith(b"<!DOCTYPE html>")


@pytest.mark.usefixtures("no_typst")
def test_without_the_engine_a_sentence_says_so_and_the_page_comes_as_html(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "page.pdf"
    assert called("--for", "customer", "-o", str(out)) == ExitCode.STORAGE
    assert not out.exists()
    assert "What it likely is" in out.with_suffix(".html").read_text("utf-8")
    assert "pip install typst" in capsys.readouterr().err
    assert called("--for", "customer", "-o", "-") == ExitCode.STORAGE
    said = capsys.readouterr()
    assert said.out == ""
    assert "--to html" in said.err


def test_letters_that_no_font_has_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = tmp_path / "case.yaml"
    case.write_text('case: KD-1\nunit: "Truck \\U0010fffd"\nlog: []\n', encoding="utf-8")
    assert main(["report", str(case), "--for", "tag", "-o", str(tmp_path / "tag.pdf")]) == ExitCode.OK
    assert "No font here has \U0010fffd" in capsys.readouterr().err


def test_a_case_that_is_no_case_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("case: [", encoding="utf-8")
    assert main(["report", str(bad), "--for", "customer"]) == ExitCode.CASE
    assert len(capsys.readouterr().err.strip().splitlines()) == 1
