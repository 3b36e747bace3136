"""The interview in plain lines as a process: piped, stopped, killed, resumed; no acknowledged answer is lost."""

import os
import random
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec import structs

from leakdx.case import Case, LogEntry, PlacesSeen
from leakdx.errors import ExitCode
from leakdx.knowledge.loader import load_knowledge
from leakdx.store.casefile import read_case
from leakdx.store.database.casestore import open_store

SIX_FOLDER = Path(__file__).parent / "data" / "six"
SIX = load_knowledge([SIX_FOLDER])
PROMPT = "> "
LATEST = 60.0

FROM_WET_TO_REPAIR = {
    "Which truck": "Tractor 17",
    "Which axle family": "1",
    "Where is it wet": "1 arc 5-7 rest dry",
}
"""Beginning of a question -> reply. What is not named here is answered by its kind, below."""


class Interviewed:
    """A running ``leakdx ask`` that is talked to through pipes."""

    def __init__(self, path: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "leakdx", "ask", str(path), "--who", "AB", "--knowledge", str(SIX_FOLDER)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            bufsize=0,
        )

    def prompted(self) -> str:
        """Everything printed up to the next prompt."""
        assert self.process.stdout is not None
        text, until = b"", time.monotonic() + LATEST
        while not text.endswith(b"\n" + PROMPT.encode()):
            assert select.select([self.process.stdout], [], [], until - time.monotonic())[0], text.decode()
            more = os.read(self.process.stdout.fileno(), 65536)
            assert more, f"ended after: {text.decode()} {self.process.stderr.read() if self.process.stderr else ''!r}"
            text += more
        return text.decode()

    def send(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(f"{line}\n".encode())

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self.process.communicate()


def asked(text: str) -> str:
    """The question of a printed block: its last line that is neither an option, a step nor a hint."""
    lines = [line for line in text.splitlines() if line and not line.startswith((" ", PROMPT))]
    return next(line for line in reversed(lines) if line.endswith(("?", ".")) and not _is_hint(line))


def _is_hint(line: str) -> bool:
    return line.startswith(("In a few words", "Wet ones by", "Value and unit", "y or n", "Numbers when", "u takes"))


def reply_to(text: str) -> str:
    """An answer that fits whatever is asked."""
    question = asked(text)
    for beginning, reply in FROM_WET_TO_REPAIR.items():
        if question.startswith(beginning):
            return reply
    if "y or n." in text:
        return "y"
    if "Value and unit" in text:
        return "0.003"
    return "2" if "  2  " in text else "1"


def answers(case: Case) -> list[LogEntry]:
    """The log without its times."""
    return [structs.replace(entry, at=None) for entry in case.log]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "case.yaml"


def to_the_end(path: Path) -> Iterator[tuple[Interviewed, str]]:
    """One interview from start to where only the repair, or nothing, is left to ask."""
    interview = Interviewed(path)
    for _ in range(60):
        text = interview.prompted()
        yield interview, text
        if "Numbers when done" in text or "u takes the last answer back" in text:
            interview.kill()
            return
        interview.send(reply_to(text))
    raise AssertionError("the interview does not end")


def test_from_wet_to_a_repair_and_killed_after_every_answer(path: Path, tmp_path: Path) -> None:
    whole = [text for _, text in to_the_end(path)]
    expected = answers(read_case(path, SIX))
    assert len(expected) >= 4

    other = tmp_path / "killed.yaml"
    interview = Interviewed(other)
    for number, shown in enumerate(whole):
        text = interview.prompted()
        assert asked(text) == asked(shown), "resumed at the question that was open"
        if number == len(whole) - 1:
            break
        interview.send(reply_to(text))
        pending = interview.prompted()
        before = answers(read_case(other, SIX))
        interview.kill()
        assert answers(read_case(other, SIX)) == before == expected[: len(before)]
        assert asked(pending) == asked(whole[number + 1])
        interview = Interviewed(other)
    interview.kill()
    assert answers(read_case(other, SIX)) == expected
    assert sorted(os.listdir(tmp_path)) == ["case.yaml", "killed.yaml"]


def test_killed_at_any_moment_it_keeps_what_it_said_was_saved(path: Path) -> None:
    chance = random.Random(7)
    saved: list[LogEntry] = []
    for _ in range(8):
        interview = Interviewed(path)
        text = interview.prompted()
        for _ in range(3):
            interview.send("note a remark" if not chance.randrange(3) else reply_to(text))
            time.sleep(chance.random() * 0.05)
            if chance.random() < 0.5:
                break
            text = interview.prompted()
            saved = list(read_case(path, SIX).log)
        interview.kill()
        log = read_case(path, SIX).log
        assert list(log[: len(saved)]) == saved, "nothing that was acknowledged is gone"
        assert len(log) >= len(saved)


def test_a_file_changed_by_someone_else_is_left_as_it_is(path: Path) -> None:
    interview = Interviewed(path)
    interview.prompted()
    theirs = path.read_bytes() + b"story: theirs\n"
    path.write_bytes(theirs)
    interview.send("Tractor 17")
    _, error = interview.process.communicate(timeout=LATEST)
    assert interview.process.returncode == ExitCode.STORAGE
    assert b"not saved, it was changed by someone else" in error
    assert b"Saved in" not in error
    assert path.read_bytes() == theirs


def test_a_number_with_noughts_before_it_is_the_whole_number(path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "leakdx", "ask", str(path), "--who", "AB", "--knowledge", str(SIX_FOLDER)],
        input="note a remark\nu 00000012\nu 0000001\n",
        capture_output=True,
        text=True,
        timeout=LATEST,
        check=False,
    )
    assert done.returncode == 0
    assert "there is no entry 12 that stands" in done.stdout
    assert "2. entry 1 is withdrawn" in done.stdout


def test_fed_from_a_pipe_it_stops_where_the_lines_end_and_says_how_to_go_on(path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "leakdx", "ask", str(path), "--knowledge", str(SIX_FOLDER)],
        input="AB\nTractor 17\n?\n1 2 arc 5-7~\n",
        capture_output=True,
        text=True,
        timeout=LATEST,
        check=False,
    )
    assert done.returncode == 0
    assert f"Saved in {path}; go on with: leakdx ask {path}" in done.stderr
    assert f"A new case: {path}\n" in done.stdout
    case = read_case(path, SIX)
    assert (case.unit, case.axle, case.truck) == ("Tractor 17", None, {"axle": "not known"})
    (entry,) = answers(case)
    wet = ("carrier_joint", "pinion_seal")
    assert entry == PlacesSeen(number=1, who="AB", wet=wet, arc=(5.0, 7.0), sure="fairly")


def test_without_a_name_it_begins_a_case_in_the_store_and_says_how_to_go_on(tmp_path: Path) -> None:
    store = f"sqlite:///{tmp_path / 'cases.db'}"
    command = [sys.executable, "-m", "leakdx", "ask", "--who", "AB", "--knowledge", str(SIX_FOLDER)]
    done = subprocess.run(
        command,
        input="Tractor 17\nq\n",
        capture_output=True,
        text=True,
        timeout=LATEST,
        env={**os.environ, "LEAKDX_STORE": store},
        check=False,
    )
    assert done.returncode == 0
    id = done.stdout.split("A new case: ", 1)[1].split()[0]
    assert f"Saved in {id}; go on with: leakdx ask {id}" in done.stderr
    assert open_store(store).case(id, SIX).unit == "Tractor 17"


# -- with the shipped knowledge, as it is typed ---------------------------------------------------------------


def typed(path: Path, *lines: str) -> str:
    """What is printed when these lines are typed, one after the other, on an axle without a family."""
    log = "\n".join(("Unit 4, rear axle", "?", *lines)) + "\n"
    command = [sys.executable, "-m", "leakdx", "ask", str(path), "--who", "AB"]
    return " ".join(subprocess.run(command, input=log, capture_output=True, text=True, check=True).stdout.split())


def test_what_was_seen_to_be_otherwise_than_told_is_said_once_with_the_way_back(path: Path) -> None:
    path.write_text("case: T-1\ncomplaint: carrier_joint\nlog:\n  - {who: AB, told: sealing_material, is: gasket}\n")
    made = typed(path, "saw the bead is still soft and smears", "note one", "note two")
    assert made.count("NOT AGREED: what seals the joint: entry 1 says a gasket only") == 1
    assert "what was seen says sealant only; what was seen counts. u 1 takes that entry back." in made


def test_a_comeback_without_a_repair_is_asked_back_in_words_and_the_repair_is_found_by_a_mechanics_word(
    path: Path,
) -> None:
    made = typed(path, "1 rest dry", "comeback", "did sealed", "did resealed with sealant", "comeback", "x")
    assert "it can come back only after it was closed here" in made
    assert "'sealed' can mean several; type one of: Reseal with a one-piece gasket; Reseal with sealant;" in made
    assert "done: Reseal with sealant" in made
    assert "came back wet: carrier joint" in made
