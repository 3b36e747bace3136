"""The repair at the screen: chosen with a reason, worked step by step to a case that is signed off, and taken back."""

import json
import threading
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from msgspec import structs

from leakdx.case import Record, RecordKind
from leakdx.cli import main
from leakdx.explain.words import path_name
from leakdx.interview.question import Question
from leakdx.interview.repairing import Repairing
from leakdx.store.database.casestore import open_store
from leakdx.ui.screens.confirm import ConfirmScreen
from leakdx.ui.screens.line import LineScreen
from leakdx.ui.screens.paths import PathsScreen
from leakdx.ui.screens.pick import PickScreen
from leakdx.ui.screens.repair import RepairScreen
from leakdx.ui.widgets.answers import keys_beside
from leakdx.ui.widgets.pathcard import Card, CardHead
from tests.shipped import diagnosis, knowledge
from tests.ui.driven import Hand, asks, case_screen, opened, press, shown, until

pytestmark = pytest.mark.asyncio


def kept(folder: Path, name: str, *more: Record) -> str:
    """A shipped case and ``more``, kept in the store that the screen is opened on; its id there."""
    store = open_store(f"sqlite:///{folder / 'cases.db'}", make=True)
    home, case = store.begin_home(knowledge()), diagnosis(name).case
    log = (*case.log, *(structs.replace(e, number=n) for n, e in enumerate(more, len(case.log) + 1)))
    home.save(structs.replace(case, id=home.case.id, log=log))
    return home.case.id


async def comes(pilot: Hand, kind: type[object]) -> None:
    """Wait until a screen of a kind stands there."""
    await until(pilot, lambda: isinstance(pilot.app.screen, kind))


async def choose_first(pilot: Hand) -> RepairScreen:
    """From the case to the steps of the first path, whatever the plan says, for the usual reason."""
    await pilot.press("r")
    await until(pilot, lambda: bool(pilot.app.screen.query(Card)))
    await pilot.press("1")
    await until(pilot, lambda: isinstance(pilot.app.screen, LineScreen | ConfirmScreen))
    if isinstance(pilot.app.screen, ConfirmScreen):
        await pilot.press("y")
        await comes(pilot, LineScreen)
    await pilot.press("enter")
    await comes(pilot, RepairScreen)
    return repair(pilot)


def repair(pilot: Hand) -> RepairScreen:
    return next(screen for screen in pilot.app.screen_stack if isinstance(screen, RepairScreen))


async def free(pilot: Hand) -> None:
    """Wait until nothing is under way on the steps."""
    await until(pilot, lambda: pilot.app.screen is repair(pilot) and not repair(pilot).is_busy)


async def sign(pilot: Hand, words: str) -> None:
    await comes(pilot, LineScreen)
    await pilot.press(*words, "enter")
    await free(pilot)


async def test_a_case_is_worked_to_signed_off_and_diagnoses_as_the_store_does(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    id = kept(tmp_path, "14")
    async with opened(tmp_path, case=id) as pilot:
        await asks(pilot)
        await until(pilot, lambda: "Time to repair (key r): " in shown(pilot))
        screen = await choose_first(pilot)
        while (mine := screen.course.next) is not None:
            assert mine.number in shown(pilot)
            if mine.done is None:
                await pilot.press("enter")
                await until(pilot, lambda: not isinstance(pilot.app.screen, RepairScreen) or not screen.is_busy)
                if isinstance(pilot.app.screen, ConfirmScreen):
                    await pilot.press("y")
            if mine.step.hold:
                await sign(pilot, "CD lamp 2")
            await free(pilot)
        await pilot.press("enter")
        await comes(pilot, PickScreen)
        await pilot.press("1")
        await sign(pilot, "after 500 miles")
        assert "dry, after 500 miles" in shown(pilot)
        await pilot.press("e")
        await comes(pilot, PickScreen)
        await pilot.press("1")
        await free(pilot)
        assert "Closed: held" in shown(pilot)
        await pilot.press("escape")
        case = await asks(pilot)
        now, log = case.now, case.sitting.interview.case.standing
    records = [entry for entry in log if isinstance(entry, Record)]
    assert [entry.kind for entry in records if entry.kind in ("decided", "recheck", "closed")] == [
        "decided",
        "recheck",
        "closed",
    ]
    assert {entry.who for entry in records if entry.kind == "signed"} == {"CD"}
    capsys.readouterr()
    assert main(["diagnose", id, "--store", f"sqlite:///{tmp_path / 'cases.db'}", "--json"]) == 0
    answers = json.loads(capsys.readouterr().out)
    assert now is not None
    assert [(c["id"], c["leaking_first"]) for c in answers["causes"]] == [(c.id, c.chance) for c in now.causes]


async def test_a_path_is_clicked_a_step_is_ticked_signed_undone_and_put_back_and_goes_on_after_a_restart(
    tmp_path: Path,
) -> None:
    id = kept(tmp_path, "05")
    async with opened(tmp_path, size=(140, 40), case=id) as pilot:
        await asks(pilot)
        await pilot.press("r")
        await until(pilot, lambda: bool(pilot.app.screen.query(Card)))
        await pilot.click(pilot.app.screen.query(CardHead).first())
        await comes(pilot, LineScreen)
        await pilot.press("enter")
        await comes(pilot, RepairScreen)
        screen = repair(pilot)
        await pilot.click("#rows", offset=(8, 1))
        await sign(pilot, "CD")
        assert screen.course.steps[0].is_over
        await pilot.press("d", "d")
        await sign(pilot, "CD")
        assert screen.course.steps[1].is_over
        assert not screen.course.steps[2].done
        await pilot.press("u")
        await free(pilot)
        assert screen.course.steps[1].holds
        await pilot.press("y")
        await free(pilot)
        assert screen.course.steps[1].is_over
    async with opened(tmp_path, case=id) as pilot:
        await asks(pilot)
        assert "2 of 33 steps done" in shown(pilot)
        await pilot.press("r")
        await comes(pilot, RepairScreen)
        assert "[ ] 2.1" in shown(pilot)


async def test_a_repair_that_is_left_while_a_step_is_written_down_shows_it_on_the_case(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    id, written = kept(tmp_path, "05"), threading.Event()
    untick = Repairing.untick

    def late(repairing: Repairing, number: str) -> tuple[str, ...]:
        assert written.wait(60)
        return untick(repairing, number)

    monkeypatch.setattr(Repairing, "untick", late)
    async with opened(tmp_path, case=id) as pilot:
        await asks(pilot)
        screen = await choose_first(pilot)
        for _ in range(2):
            await pilot.press("enter")
            await sign(pilot, "CD")
        await pilot.press("up", "enter")
        await comes(pilot, ConfirmScreen)
        await pilot.press("y")
        await until(pilot, lambda: pilot.app.screen is screen)
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.screen is case_screen(pilot) and screen not in pilot.app.screen_stack)
        written.set()
        await until(pilot, lambda: "1 of 33 steps done" in shown(pilot))
        await asks(pilot)


async def test_how_many_holds_stand_is_seen_beside_a_long_reason(tmp_path: Path) -> None:
    async with opened(tmp_path, size=(80, 24), case=kept(tmp_path, "05")) as pilot:
        await asks(pilot)
        await choose_first(pilot)
        now = case_screen(pilot).now
        assert now is not None
        assert len(now.fit_reason) > 40
        assert f"NOT FIT TO DRIVE; HOLD {len(now.holds)} (key h)" in shown(pilot)


async def test_what_stands_before_opening_is_said_and_no_writes_nothing(tmp_path: Path) -> None:
    id = kept(tmp_path, "05")
    async with opened(tmp_path, case=id) as pilot:
        await asks(pilot)
        screen = await choose_first(pilot)
        for _ in range(3):
            await pilot.press("enter")
            await sign(pilot, "CD")
        count = len(case_screen(pilot).sitting.interview.case.log)
        await pilot.press("enter")
        await comes(pilot, ConfirmScreen)
        assert "HOLD stood before it" in shown(pilot)
        await pilot.press("n")
        await free(pilot)
        assert len(case_screen(pilot).sitting.interview.case.log) == count
        await pilot.press("down", "down", "down", "down", "enter")
        await until(pilot, lambda: "Not taken" in shown(pilot))
        assert len(case_screen(pilot).sitting.interview.case.log) == count
        assert screen.course.next is not None
        assert screen.course.next.number == "2.1"


async def test_the_plan_is_said_where_it_would_look_further_and_no_decides_nothing(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "p")
        await pilot.press("r")
        await until(pilot, lambda: bool(pilot.app.screen.query(Card)))
        assert "The plan: look further" in shown(pilot)
        await pilot.press("1", "1")
        await comes(pilot, ConfirmScreen)
        await pilot.press("n")
        await comes(pilot, PathsScreen)
        await pilot.press("x")
        await pilot.press("escape", "escape")
        screen = await asks(pilot)
        assert screen.sitting.interview.case.log == ()


async def test_where_nothing_is_left_to_ask_the_question_offers_the_repair() -> None:
    for kind in ("repair", "end"):
        question = Question(kind=kind, id="repair", text="This is the repair.")
        assert keys_beside(question, skips=False)[0][0] == "repair"


async def test_what_somebody_is_asked_to_tell_is_never_a_part_that_is_not_fitted() -> None:
    keys = {kind: keys_beside(Question(kind=kind, id="x", text="?"), skips=False) for kind in ("history", "sign")}
    assert "fitted" not in dict(keys["history"])
    assert "fitted" in dict(keys["sign"])


async def test_a_bead_that_was_begun_is_said_on_the_list_and_the_case_and_the_label_counts_at_once(
    tmp_path: Path,
) -> None:
    steps = knowledge().repairs["reseal_with_sealant"].steps
    bead = next(step.do for step in steps if step.clock == "bead begun")
    begun = datetime.now().replace(microsecond=0) - timedelta(minutes=5)
    path = path_name(knowledge(), ("reseal_with_sealant", "new_fasteners"))
    told: tuple[tuple[RecordKind, str], ...] = (("decided", path), ("step", bead))
    records = [Record(number=0, who="AB", at=begun, kind=kind, text=text, note="why") for kind, text in told]
    kept(tmp_path, "02", *records)
    async with opened(tmp_path, size=(120, 30)) as pilot:
        assert "Open time: 5 min left, carrier seated by" in shown(pilot)
        await pilot.press("enter")
        await asks(pilot)
        await until(pilot, lambda: "Open time: 5 min left" in shown(pilot))
        await pilot.press("escape", "r")  # out of the field of the reading that is asked
        await comes(pilot, RepairScreen)
        await until(pilot, lambda: "Open time: 5 min left" in shown(pilot))
        await pilot.press("t")
        await sign(pilot, "open 4 min")
        await until(pilot, lambda: "OPEN TIME IS OVER" in shown(pilot))
        await pilot.press("t")
        await comes(pilot, LineScreen)
        await pilot.press(*"open 4 lb", "enter")
        await until(pilot, lambda: "Not taken" in shown(pilot))
        assert case_screen(pilot).sitting.interview.case.log[-1].number == len(diagnosis("02").case.log) + 3
