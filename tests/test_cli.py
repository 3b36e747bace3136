"""The command line end to end: what it prints where, how it ends, and that bad input costs nothing but a sentence."""

import argparse
import json
import os
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from leakdx import __version__
from leakdx.case import Case
from leakdx.cli import main
from leakdx.commands import paths
from leakdx.commands.parser import parser
from leakdx.commands.schema import SHIPPED, diagnosis_schema_text
from leakdx.errors import ExitCode
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Knowledge
from leakdx.reasoning.belief import ContradictionError
from tests.help_texts import COMMANDS, DOCUMENT, block_of, help_of, rewritten

HERE = Path(__file__).parent
SIX = str(HERE / "data" / "six")
SIX_KNOWLEDGE = load_knowledge([Path(SIX)])
GOOD = """\
case: KD-1
log:
  - {who: AB, wet: [carrier_joint], dry: [pinion_seal]}
  - {who: AB, told: sealing_material, is: sealant}
"""


@pytest.fixture
def case(tmp_path: Path) -> str:
    path = tmp_path / "case.yaml"
    path.write_text(GOOD, encoding="utf-8")
    return str(path)


def called(*words: str, **environment: str) -> "subprocess.CompletedProcess[str]":
    """leakdx as a process of its own, as a shell calls it."""
    return subprocess.run(
        [sys.executable, "-m", "leakdx", *words],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, **environment},
        check=False,
    )


# -- help, version, documents -----------------------------------------------------------------------------


def test_no_command_is_left_out_of_the_document() -> None:
    assert set(_commands(parser())) == set(COMMANDS)


def _commands(of: argparse.ArgumentParser, words: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every command, as it is typed."""
    yield words
    for action in of._actions:
        if isinstance(action, argparse._SubParsersAction):
            for word, below in action.choices.items():
                yield from _commands(below, (*words, word))


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_the_document_holds_every_help_text(words: tuple[str, ...]) -> None:
    document = DOCUMENT.read_text(encoding="utf-8")
    heading, block = block_of(words)
    assert f"{heading}\n{block}" in document, "python -m tests.help_texts writes it anew"


def test_the_document_is_what_writing_it_anew_makes() -> None:
    document = DOCUMENT.read_text(encoding="utf-8")
    assert rewritten(document) == document


@pytest.mark.parametrize("words", [words for words in COMMANDS if words not in {("knowledge",), ("paths",)}])
def test_help_shows_examples(words: tuple[str, ...]) -> None:
    shown = help_of(*words)
    assert "examples:\n  leakdx" in shown
    assert max(map(len, shown.splitlines())) <= 88


def test_the_document_explains_every_exit_code() -> None:
    document = DOCUMENT.read_text(encoding="utf-8")
    for code in ExitCode:
        assert f"\n| {code.value} | " in document


def test_version_and_the_module_as_a_program() -> None:
    done = called("--version")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"leakdx {__version__}\n", "")


def test_the_shipped_schemas_are_the_ones_of_the_types(capsys: pytest.CaptureFixture[str]) -> None:
    for path in SHIPPED:
        assert path.read_text(encoding="utf-8") == diagnosis_schema_text(), "python -m leakdx.commands.schema"
    assert main(["diagnose", "--schema"]) == 0
    assert capsys.readouterr().out == diagnosis_schema_text()


def test_paths_says_where_the_knowledge_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["paths"]) == 0
    assert f"knowledge: {shipped_folder()}\n" in capsys.readouterr().out


def test_paths_says_where_no_cache_is_kept(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LEAKDX_CACHE", "")
    assert main(["paths"]) == 0
    assert "cache: none is kept\n" in capsys.readouterr().out


@pytest.mark.parametrize("words", [["diagnose", "CASE"], ["why", "CASE"], ["ask", "CASE", "--who", "AB"]])
def test_a_command_about_a_file_loads_no_database(words: list[str], case: str) -> None:
    line = [*(case if word == "CASE" else word for word in words), "--knowledge", SIX]
    asks = f"import sys; from leakdx.cli import main; code = main({line!r}); print('sqlalchemy' in sys.modules, code)"
    done = subprocess.run([sys.executable, "-c", asks], input="q\n", capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1].split("> ")[-1] == "False 0"


# -- data and talk ----------------------------------------------------------------------------------------


def test_the_answer_goes_to_output_and_nothing_to_error(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["diagnose", case], ["diagnose", case, "--for", "customer"], ["why", case]):
        assert main([*words, "--knowledge", SIX]) == 0
        printed = capsys.readouterr()
        assert printed.out.strip()
        assert printed.err == ""


def test_json_is_the_answer_and_keeps_to_its_schema(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    import jsonschema

    assert main(["diagnose", case, "--json", "--knowledge", SIX]) == 0
    answer = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(json.loads(diagnosis_schema_text())).validate(answer)
    assert answer["case"] == "KD-1"
    assert [c["leaking_first"] for c in answer["causes"]] == sorted(
        (c["leaking_first"] for c in answer["causes"]), reverse=True
    )


def test_no_escape_codes_whatever_the_text_holds(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    text = GOOD.replace("case: KD-1", 'case: "K\\e[31mD\\x9b2J"\nstory: "\\u202Eabc\\e]0;x\\a"').replace(
        "is: sealant", 'is: sealant, note: "\\e[2J"'
    )
    path.write_text(text, encoding="utf-8")
    for words in (["diagnose", str(path)], ["diagnose", str(path), "--json"], ["why", str(path)]):
        done = called(*words, "--knowledge", SIX, FORCE_COLOR="1", CLICOLOR_FORCE="1", TERM="xterm-256color")
        assert done.returncode == 0, done.stderr
        for bad in ("\x1b", "\x9b", "\x07", "\u202e"):
            assert bad not in done.stdout + done.stderr


def test_a_terminal_without_unicode_is_no_reason_to_stop(case: str) -> None:
    done = called("diagnose", case, "--knowledge", SIX, PYTHONIOENCODING="ascii", PYTHONUTF8="0", LC_ALL="C")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_reader_that_went_away_is_no_error(case: str) -> None:
    line = f"{sys.executable} -m leakdx diagnose {case} --json --knowledge {SIX} | head -c 1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", line], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout == "{0\n"
    assert done.stderr == ""


FULL = "/dev/full"
needs_full = pytest.mark.skipif(not os.path.exists(FULL), reason="no such device here")


@needs_full
@pytest.mark.parametrize(
    "words",
    [
        ["diagnose", "CASE"],
        ["diagnose", "CASE", "--json"],
        ["draw", "CASE", "-o", "-"],
        ["ask", "CASE", "--who", "AB"],
        ["--version"],
        ["diagnose", "-h"],
        ["diagnose", "--schema"],
    ],
    ids=" ".join,
)
def test_an_output_without_room_is_one_sentence(words: list[str], case: str) -> None:
    own = [] if words[-1].startswith("-") and words[-1] not in ("-", "--json") else ["--knowledge", SIX]
    line = [sys.executable, "-m", "leakdx", *(case if word == "CASE" else word for word in words), *own]
    with open(FULL, "wb") as full:
        done = subprocess.run(
            line, stdin=subprocess.DEVNULL, stdout=full, stderr=subprocess.PIPE, text=True, timeout=60
        )
    assert done.returncode == ExitCode.STORAGE
    lines = [said for said in done.stderr.splitlines() if not said.startswith("Going on with")]
    assert lines == ["leakdx: standard output cannot be written (no space left on device); send it where there is room"]


@needs_full
@pytest.mark.parametrize("closed", [">&-", "2>/dev/full"])
def test_a_closed_output_is_a_sentence_and_a_full_error_output_no_reason_to_stop(closed: str, case: str) -> None:
    line = f"{sys.executable} -m leakdx diagnose {case} --knowledge {SIX} {closed}"
    done = subprocess.run(["bash", "-c", line], capture_output=True, text=True, timeout=60, check=False)
    assert (done.returncode, done.stderr) in (
        (ExitCode.STORAGE, "leakdx: standard output is closed; send it somewhere\n"),
        (ExitCode.OK, ""),
    )
    assert bool(done.stdout) == (done.returncode == ExitCode.OK)


def test_other_shop_settings_can_be_named(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["diagnose", case, "--shop", "home_shop", "--json", "--knowledge", SIX]) == 0
    capsys.readouterr()
    assert main(["diagnose", case, "--shop", "hom", "--knowledge", SIX]) == ExitCode.USAGE
    assert capsys.readouterr().err == "leakdx: there is no shop 'hom'; known are home_shop\n"


# -- drawing ----------------------------------------------------------------------------------------------


def test_draw_never_replaces_a_file_unless_forced(
    case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "case.svg"
    words = ["draw", case, "-o", str(out), "--knowledge", SIX]
    assert main(words) == 0
    first = out.read_bytes()
    assert b"<svg" in first
    out.write_bytes(b"mine")
    capsys.readouterr()
    assert main(words) == ExitCode.STORAGE
    assert "stands already and was not overwritten" in capsys.readouterr().err
    assert out.read_bytes() == b"mine"
    assert main([*words, "--force"]) == 0
    assert out.read_bytes() == first


def test_a_picture_is_for_whomever_the_umask_lets_and_keeps_its_mode(case: str, tmp_path: Path) -> None:
    out = tmp_path / "case.svg"
    words = ["draw", case, "-o", str(out), "--knowledge", SIX]
    before = os.umask(0o027)
    try:
        assert main(words) == 0
        assert stat.S_IMODE(out.stat().st_mode) == 0o640
        out.chmod(0o604)
        assert main([*words, "--force"]) == 0
        assert stat.S_IMODE(out.stat().st_mode) == 0o604
    finally:
        os.umask(before)


def test_draw_writes_a_png_light_or_dark_and_says_where_it_cannot(
    case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    light, night = (tmp_path / name for name in ("light.PNG", "night.png"))
    assert main(["draw", case, "-o", str(light), "--knowledge", SIX]) == 0
    assert main(["draw", case, "-o", str(night), "--knowledge", SIX, "--dark"]) == 0
    assert light.read_bytes().startswith(b"\x89PNG")
    assert night.read_bytes().startswith(b"\x89PNG")
    assert light.read_bytes() != night.read_bytes()
    capsys.readouterr()
    assert main(["draw", case, "-o", str(tmp_path / "no" / "x.png"), "--knowledge", SIX]) == ExitCode.STORAGE
    assert main(["draw", case, "-o", str(tmp_path / "x.dot"), "--knowledge", SIX, "--dark"]) == ExitCode.USAGE
    said = capsys.readouterr().err
    assert "x.png" in said
    assert "--dark is for .svg and .png; a .dot file is text" in said


def test_the_flange_is_a_picture_of_its_own(case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["draw", case, "--flange", "--knowledge", SIX, "-o"]
    for name, begins in (("flange.svg", b"<svg"), ("flange.png", b"\x89PNG")):
        assert main([*words, str(tmp_path / name)]) == 0
        assert (tmp_path / name).read_bytes().startswith(begins)
    capsys.readouterr()
    assert main([*words, "flange.dot"]) == ExitCode.USAGE
    assert "does not end in .svg or .png" in capsys.readouterr().err
    assert main(["draw", case, "crack", *words[2:], "flange.svg"]) == ExitCode.USAGE
    assert "--flange is a picture of its own; leave out 'crack'" in capsys.readouterr().err


def test_draw_wants_a_kind_that_it_can_write(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draw", case, "-o", "case.gif", "--knowledge", SIX]) == ExitCode.USAGE
    assert "does not end in .svg, .png or .dot" in capsys.readouterr().err


# -- bad input --------------------------------------------------------------------------------------------

BAD_CASES = {
    "empty": b"",
    "broken": b"case: [1, 2\nlog: {",
    "huge": b"case: KD-1\nstory: " + b"x" * (2 << 20),
    "deep": b"- " * 4000,
    "binary": bytes(range(256)),
    "unknown observation": GOOD.encode() + b"  - {who: AB, saw: torque_patern, is: even}\n",
    "wrong unit": GOOD.encode() + b'  - {who: AB, read: housing_face_flatness, value: "0.006", unit: psi}\n',
    "out of range": GOOD.encode() + b'  - {who: AB, read: housing_face_flatness, value: "6", unit: in}\n',
    "two outcomes": GOOD.encode() + b"  - {who: AB, saw: torque_pattern, is: [even, one_low]}\n",
    "wet and dry": GOOD.encode() + b"  - {who: AB, wet: [carrier_joint], dry: [carrier_joint]}\n",
    "in the future": GOOD.encode() + b'  - {at: "2099-01-01T00:00", who: AB, did: washed}\n',
    "not seen yet": GOOD.encode() + b"  - {who: AB, did: washed}\n  - {who: AB, saw: wet.pinion_seal, is: no}\n",
    "withdraws what is not there": GOOD.encode() + b"  - {who: AB, withdraw: 9}\n",
    "a number of thousands of digits": GOOD.encode() + b"  - {who: AB, withdraw: " + b"0" * 5000 + b"1}\n",
}


@pytest.mark.parametrize("kind", BAD_CASES)
@pytest.mark.parametrize("command", [["diagnose"], ["why"], ["ask", "--who", "AB"]], ids=lambda words: words[0])
def test_a_bad_case_is_one_sentence(
    command: list[str], kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "case.yaml"
    path.write_bytes(BAD_CASES[kind])
    assert main([command[0], str(path), *command[1:], "--knowledge", SIX]) == ExitCode.CASE
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"{path}:")
    assert len(printed.err.splitlines()) == 1
    assert "; " in printed.err
    assert path.read_bytes() == BAD_CASES[kind]
    assert os.listdir(tmp_path) == ["case.yaml"]


def test_a_file_that_is_not_there_and_a_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for path in (tmp_path / "none.yaml", tmp_path):
        assert main(["diagnose", str(path), "--knowledge", SIX]) == ExitCode.STORAGE
        error = capsys.readouterr().err
        assert error.startswith(f"leakdx: {path}:")
        assert len(error.splitlines()) == 1


def test_answers_that_exclude_one_another_are_said_with_the_file(
    case: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def exclude(knowledge: Knowledge, case: Case, **_: object) -> None:
        raise ContradictionError(knowledge, ["yoke_grooved"])

    monkeypatch.setattr("leakdx.reasoning.diagnosis.diagnose", exclude)
    assert main(["diagnose", case, "--knowledge", SIX]) == ExitCode.CASE
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"{case}: ")
    assert SIX_KNOWLEDGE.signs["yoke_grooved"].name in printed.err
    assert len(printed.err.splitlines()) == 1


LONG = "x" * 300


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["diagnose", f"{LONG}.yaml"], ExitCode.STORAGE),
        (["ask", f"{LONG}.yaml", "--who", "AB"], ExitCode.STORAGE),
        (["draw", "CASE", "-o", f"{LONG}.svg"], ExitCode.STORAGE),
        (["diagnose", "CASE", "--knowledge", LONG], ExitCode.KNOWLEDGE),
        (["ask", "CASE", "--knowledge", LONG], ExitCode.KNOWLEDGE),
    ],
    ids=lambda given: given[0] if isinstance(given, list) else "",
)
def test_a_name_that_no_file_can_have_is_one_sentence(
    words: list[str], code: ExitCode, case: str, capsys: pytest.CaptureFixture[str]
) -> None:
    own = [] if "--knowledge" in words else ["--knowledge", SIX]
    assert main([*(case if word == "CASE" else word for word in words), *own]) == code
    printed = capsys.readouterr()
    assert printed.out == ""
    assert len(printed.err.splitlines()) == 1
    assert LONG in printed.err


@pytest.mark.parametrize("text", ["1e-40", "0." + "0" * 14 + "1", "1e-99"])
def test_a_reading_far_finer_than_any_gauge_is_weighed(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "case.yaml"
    entry = f"  - {{who: AB, read: housing_face_flatness, value: '{text}', unit: in}}\n"
    path.write_text(GOOD + entry, encoding="utf-8")
    assert main(["diagnose", str(path), "--knowledge", SIX]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["diagnos"], "invalid choice: 'diagnos'"),
        (["diagnose"], "required: CASE"),
        (["diagnose", "x", "--for", "boss"], "invalid choice: 'boss'"),
        (["diagnose", "x", "--for", "customer", "--json"], "not allowed with"),
        (["diagnose", "x", "--minutes", "soon"], "'soon' is not a number; write one such as 20"),
        (["draw", "x"], "required: -o"),
        (["knowledge"], "required: COMMAND"),
        (["diagnose", "x", "--colour"], "unrecognized arguments: --colour"),
    ],
)
def test_a_wrong_call_is_one_sentence(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == ExitCode.USAGE
    printed = capsys.readouterr()
    assert printed.out == ""
    assert says in printed.err
    assert "-h' shows" in printed.err
    assert len(printed.err.splitlines()) == 1


def test_thirty_faults_of_a_knowledge_are_all_listed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    entries = "".join(
        f"  sign_{n}:\n    name: sign {n}\n    mark: from memory\n    reason: r\n"
        f"    hangs_on: present\n    stray: nothing_{n}\n"
        for n in range(30)
    )
    (folder / "signs.yaml").write_text(f"signs:\n{entries}", encoding="utf-8")
    assert main(["knowledge", "check", str(folder)]) == ExitCode.KNOWLEDGE
    lines = capsys.readouterr().out.splitlines()
    assert sum("nothing_" in line for line in lines) == 30
    assert all(line.startswith(f"{folder}/signs.yaml:") for line in lines)


def test_a_faulty_knowledge_stops_a_diagnosis(case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "x.yaml").write_text("causse: {}\n", encoding="utf-8")
    for own in (tmp_path / "shop", tmp_path / "none", tmp_path / "case.yaml"):
        assert main(["diagnose", case, "--knowledge", str(own)]) == ExitCode.KNOWLEDGE
        printed = capsys.readouterr()
        assert printed.out == ""
        assert printed.err.startswith(str(own))


def test_a_sound_knowledge_is_said_to_be_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "check", SIX]) == 0
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith("sound: ")
    assert f", {len(SIX_KNOWLEDGE.causes)} causes, " in last


def test_schemas_of_the_knowledge(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "schema"]) == 0
    assert json.loads(capsys.readouterr().out)["type"] == "object"
    assert main(["knowledge", "schema", "-o", str(tmp_path / "schema")]) == 0
    written = capsys.readouterr().out.splitlines()
    assert str(tmp_path / "schema" / "causes.json") in written
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert main(["knowledge", "schema", "-o", str(tmp_path / "file")]) == ExitCode.STORAGE


def test_what_should_not_happen_is_a_sentence_too(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(args: object) -> int:
        raise RuntimeError("broken\nwithin")

    monkeypatch.setattr(paths, "run", fail)
    assert main(["paths"]) == ExitCode.INTERNAL
    error = capsys.readouterr().err
    assert len(error.splitlines()) == 1
    assert "RuntimeError in test_cli.py line " in error
    assert "Traceback" not in error
    monkeypatch.setenv("LEAKDX_DEBUG", "1")
    assert main(["paths"]) == ExitCode.INTERNAL
    assert "Traceback" in capsys.readouterr().err


def test_an_interrupt_ends_with_its_own_code(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "leakdx", "ask", str(tmp_path / "c.yaml"), "--knowledge", SIX],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert b"A new case" in process.stdout.readline()
    time.sleep(0.1)
    process.send_signal(signal.SIGINT)
    _, error = process.communicate(timeout=30)
    assert process.returncode == ExitCode.INTERRUPTED
    assert b"Traceback" not in error
