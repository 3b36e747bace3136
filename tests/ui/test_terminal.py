"""In a real terminal: from nothing to an answer, and killed while answering. Fifty kills: LEAKDX_KILLS=50."""

import os
import random
import re
import time
from pathlib import Path

import pytest

from leakdx.case import Case
from leakdx.store.database.casestore import open_store
from leakdx.store.database.search import Wanted, find
from tests.shipped import knowledge
from tests.ui.fields import under_repair
from tests.ui.terminal import HAS_TMUX, Terminal

pytestmark = pytest.mark.skipif(not HAS_TMUX, reason="tmux is not installed; .ci/run installs it")

KILLS = int(os.environ.get("LEAKDX_KILLS", "5"))
SAVED = re.compile(r"Saved: (?:.*?)(\d+)\. ")


def kept(folder: Path) -> Case:
    """The one case of the store."""
    store = open_store(f"sqlite:///{folder / 'cases.db'}")
    (row,) = find(store, Wanted())
    return store.case(row.id, knowledge())


def test_from_an_empty_store_to_an_answer_that_stands_in_it(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    try:
        terminal.until("No case is open")
        terminal.click("n new case")
        terminal.until("Who answers?")
        terminal.type("AB")
        terminal.press("Enter")
        terminal.until("What was reported wet?")
        terminal.press("1")
        terminal.until("Which axle family?")
        terminal.click(" 1 ")
        terminal.until("Which truck is it?")
        terminal.type("Tractor 17")
        terminal.press("Enter")
        terminal.until("When was the carrier last out")
        terminal.press("2")
        terminal.until("Where is it wet", "Tractor 17")
        terminal.press("1", "e")
        terminal.until("Saved: 2. wet: carrier joint")
        terminal.press("u")
        terminal.until("is withdrawn")
        terminal.press("y")
        terminal.until("stands again")
        terminal.press("c")
        terminal.until("Causes - ", "dB")
        terminal.press("Escape")
        terminal.until("NEXT:")
        terminal.press("q")
        terminal.until("Tractor 17", "open, ")
        terminal.press("q")
        latest = time.monotonic() + 20
        while terminal.is_running():
            assert time.monotonic() < latest
            time.sleep(0.3)
            terminal.press("q")  # at once after the case it was taken for a second press of the same key
    finally:
        terminal.close()
    case = kept(tmp_path)
    assert case.unit == "Tractor 17"
    assert [entry.number for entry in case.standing] == [1, 2, 3]


def test_killed_while_answering_it_goes_on_where_it_was(tmp_path: Path) -> None:
    drawn = random.Random(7)
    entries = 0
    words: tuple[str, ...] = ("screen", "--who", "AB")
    for _ in range(KILLS):
        terminal = Terminal(tmp_path, *words)
        try:
            if entries == 0 and len(words) == 3:
                terminal.until("No case is open")
                terminal.press("n")
                for asked, said in (
                    ("What was reported wet?", "1"),
                    ("Which axle family?", "1"),
                    ("Which truck is it?", "Tractor 17\r"),
                    ("When was the carrier", "1"),
                ):
                    terminal.until(asked)
                    terminal.type(said)
            terminal.until("NEXT")
            for _ in range(drawn.randint(1, 3)):
                terminal.press(drawn.choice(["1", "2", "?", "x", "e", "u"]))
                time.sleep(drawn.random() * 0.4)
            shown = [int(number) for number in SAVED.findall(terminal.text())]
        finally:
            terminal.kill()
        case = kept(tmp_path)
        assert len(case.log) >= max([entries, *shown])
        assert case.unit == "Tractor 17"
        entries, words = len(case.log), ("screen", case.id, "--who", "AB")
    assert entries >= 1


def test_killed_in_the_middle_of_a_word_what_was_typed_stands_there_again(tmp_path: Path) -> None:
    words = ("screen", under_repair(tmp_path), "--who", "AB")
    terminal = Terminal(tmp_path, *words)
    try:
        _into_the_audit(terminal, "NEXT: ")
        terminal.until("Which grade")
        terminal.type("8")
        terminal.press("Enter")
        terminal.until("How are the threads?")
        terminal.type("dry as")
        terminal.until("dry as")
        time.sleep(0.5)
    finally:
        terminal.kill()
    terminal = Terminal(tmp_path, *words)
    try:
        _into_the_audit(terminal, "Left half typed:", "Torque audit, fastener by fastener (key m)")
        text = terminal.until("How are the threads?", "dry as")
        assert "Left half typed: Torque audit" in text
        assert re.search(r"grade +grade 8|grade +8", text)
    finally:
        terminal.close()


def _into_the_audit(terminal: Terminal, *there: str) -> None:
    """From the case, once these words stand there, to its torque audit."""
    terminal.until(*there)
    terminal.press("m")
    text = terminal.until("Measure: ", "Torque audit")
    rows = [row for row in text.splitlines()[1:] if "(" in row]
    at = next(at for at, row in enumerate(rows) if "Torque audit" in row)
    terminal.press("Home", *["Down"] * at, "Enter")


def test_with_plain_characters_and_no_colour_every_screen_is_ascii(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "screen", "--who", "AB", LEAKDX_ASCII="1", NO_COLOR="1")
    try:
        terminal.until("No case is open")
        terminal.press("p")
        terminal.until("NEXT: where it is wet", "rest dry")
        for key, words in (
            ("c", "Causes - "), ("l", "Ledger - "), ("o", "Checks worth"), ("s", "Something else"), ("w", "Why: "),
            ("k", "Put back"), ("F1", "One truck."),
        ):  # fmt: skip
            terminal.press(key)
            text = terminal.until(words)
            assert text.isascii(), [letter for letter in text if not letter.isascii()]
            terminal.press("Escape")
            assert terminal.until("NEXT: ", "Answer by its number").isascii()
    finally:
        terminal.close()
