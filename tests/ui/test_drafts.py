"""What is half typed anywhere on a case stands there again after the screen was gone, says so, and can be wiped."""

from pathlib import Path

import pytest

from leakdx.case import Note
from leakdx.errors import StorageError
from leakdx.store.database.casestore import open_store
from leakdx.store.draft import Draft
from leakdx.ui.drafts import LEFT
from leakdx.ui.screens.case import UNKEPT
from leakdx.ui.widgets.field import Field
from tests.shipped import knowledge
from tests.ui.driven import asks, case_screen, opened, press, shown, until
from tests.ui.fields import FIELDS, ID, KEPT_NOT, decided, field_of, in_the_source, measuring, to_case, under_repair

DRAFTED = [name for name in FIELDS if name not in KEPT_NOT]


def left(folder: Path, id: str = ID) -> dict[str, Draft]:
    """What the store holds half typed of a case."""
    return open_store(f"sqlite:///{folder / 'cases.db'}").home(id, knowledge()).drafts()


def test_every_field_of_the_source_is_known_here() -> None:
    assert in_the_source() == set(FIELDS)


@pytest.mark.asyncio
async def test_every_field_of_a_case_keeps_what_is_half_typed_and_is_wiped_by_hand(tmp_path: Path) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        await decided(pilot)
        for name in DRAFTED:
            field = await field_of(pilot, name)
            field.value = "a half"
            await pilot.pause()
            await to_case(pilot)
    assert len(left(tmp_path)) == len(DRAFTED)
    async with opened(tmp_path, case=ID) as pilot:
        await until(pilot, lambda: f"{LEFT}:" in shown(pilot))
        for name in DRAFTED:
            field = await field_of(pilot, name)
            assert field.value == "a half", name
            if field.id == "line" and name != "answers.compose":
                assert LEFT in shown(pilot)
            await pilot.press("ctrl+u")
            await until(pilot, lambda f=field: f.value == "")  # type: ignore[misc]
            await to_case(pilot)
    assert left(tmp_path) == {}


@pytest.mark.asyncio
async def test_a_measurement_stands_as_it_stood_and_is_gone_once_it_is_written_down(tmp_path: Path) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        await measuring(pilot, "leak")
        await pilot.press("enter", *"12", "enter", *"1o mi")
    (draft,) = left(tmp_path).values()
    assert (draft.typed, draft.line, draft.field) == ({"drops": "12"}, "time", "1o mi")
    async with opened(tmp_path, case=ID) as pilot:
        await until(pilot, lambda: draft.title in " ".join(shown(pilot).split()))
        page = await measuring(pilot, "leak")
        assert page.field.value == "1o mi"
        assert f"{LEFT}: Drips or a stain" in shown(pilot)
        await pilot.press("ctrl+u", *"10 min", "f4")
        await asks(pilot)
        await until(pilot, lambda: "Saved: " in shown(pilot))
        assert case_screen(pilot).sitting.drafts.titles == ()
    assert left(tmp_path) == {}


@pytest.mark.asyncio
async def test_what_is_refused_still_stands_and_what_is_taken_does_not(tmp_path: Path) -> None:
    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        await decided(pilot)
        await field_of(pilot, "repair._sealant")
        await pilot.press(*"open soon", "enter")
        await until(pilot, lambda: any(note.severity == "error" for note in pilot.app._notifications))
        await to_case(pilot)
        field = await field_of(pilot, "repair._sealant")
        assert field.value == "open soon"
        await to_case(pilot)
        await field_of(pilot, "case.action_note")
        await press(pilot, *"wet again", "enter")
        last = case_screen(pilot).sitting.interview.case.log[-1]
        assert isinstance(last, Note)
        assert (await field_of(pilot, "case.action_note")).value == ""
    assert [draft.field for draft in left(tmp_path).values()] == ["open soon"]


@pytest.mark.asyncio
async def test_an_answer_that_is_half_typed_waits_for_its_question(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        await press(pilot, "n")
        for key in ("1", "1"):
            await press(pilot, key)
        await until(pilot, lambda: "Which truck is it?" in shown(pilot))
        await pilot.press(*"Tractor 1")
        id = case_screen(pilot).sitting.name
    async with opened(tmp_path, case=id) as pilot:
        await until(pilot, lambda: "the answer to: Which truck is it?" in " ".join(shown(pilot).split()))
        field = pilot.app.focused
        assert isinstance(field, Field)
        assert field.value == "Tractor 1"
        screen = await press(pilot, "7", "enter")
        assert screen.sitting.interview.case.unit == "Tractor 17"
    assert left(tmp_path, id) == {}


@pytest.mark.asyncio
async def test_what_cannot_be_kept_is_said_once_and_kept_as_soon_as_it_can_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise StorageError("the disk is full")

    async with opened(tmp_path, case=under_repair(tmp_path)) as pilot:
        sitting = case_screen(pilot).sitting
        with monkeypatch.context() as patch:
            patch.setattr(sitting.interview.home, "keep_draft", full)
            field = await field_of(pilot, "case.action_note")
            await pilot.press(*"wet ag")
            await until(pilot, lambda: bool(pilot.app._notifications))
            await pilot.press(*"ain")
            await pilot.pause(0.2)
            (said,) = (note.message for note in pilot.app._notifications)
            assert said == f"{UNKEPT}: the disk is full."
            await to_case(pilot)
            field = await field_of(pilot, "case.action_note")
            assert field.value == "wet again"
            await to_case(pilot)
        assert left(tmp_path) == {}
        await field_of(pilot, "answers.compose")
        await pilot.press("7")
        await until(pilot, lambda: len(left(tmp_path)) == 2)
    assert sorted(draft.field for draft in left(tmp_path).values()) == ["7", "wet again"]
