"""The repair record: each thing that a warranty desk asks for, with who, when and by which tool."""

from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from leakdx.case import Case, LogEntry, Measurement, Record, Withdrawal
from leakdx.cli import main
from leakdx.errors import StorageError
from leakdx.explain.course import JOINED
from leakdx.pages.document import Document, Facts, Notice, Photos, Picture, Table
from leakdx.pages.html import html_page
from leakdx.pages.pdf import pdf_page
from leakdx.pages.photos import photos_of
from leakdx.pages.record import record_page
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from leakdx.store.attachments import Attachment
from tests.pages.made import FORTY, bare, document, photographed
from tests.shipped import FILES, diagnosis, knowledge
from tests.store.pictures import picture


def grown(case: Case, *entries: LogEntry) -> Case:
    """The case with these behind its log, numbered."""
    log = list(case.log)
    for entry in entries:
        log.append(replace(entry, number=len(log) + 1))
    return replace(case, log=tuple(log))


def record(kind: str, text: str, note: str = "") -> Record:
    return Record(number=0, who="MN", kind=kind, text=text, note=note)  # type: ignore[arg-type]


@cache
def worked_case() -> Diagnosis:
    """A case that was decided on, with its first hold signed, an answer taken back, and looked at again."""
    case = diagnosis("01").case
    repair = diagnosis("01").answers.repairs[0].actions
    step = next(step for step in knowledge().repairs[repair[0]].steps if step.hold)
    added = (
        record("decided", JOINED.join(repair)),
        record("step", step.do),
        record("signed", step.hold or ""),
        record("recheck", "dry", "after 520 miles"),
        Withdrawal(number=0, who="MN", entry=1, note="asked again"),
    )
    return diagnose(knowledge(), grown(case, *added))


@cache
def worked() -> Document:
    return record_page(worked_case())


def table(page: Document, title: str) -> Table:
    return next(block for block in page.blocks if isinstance(block, Table) and title in block.title)


def facts(page: Document) -> dict[str, str]:
    return {label: said for block in page.blocks if isinstance(block, Facts) for label, said in block.rows}


def test_complaint_and_cause_stand_with_the_drivers_words_apart() -> None:
    said = facts(document("record", "06"))
    assert said["In the driver's words"] == f'"{diagnosis("06").case.story}"'
    assert said["What failed"].startswith(diagnosis("06").answers.causes[0].name)
    assert "out of flat" in said["Proved by rule"]


def test_a_truck_that_is_not_clear_is_not_said_to_be() -> None:
    said = facts(document("record", "08"))
    assert "What failed" not in said
    assert len(said["Not settled between"].split("; ")) == len(diagnosis("08").answers.undecided_between)


def test_each_reading_stands_with_its_limit_its_tool_and_its_calibration() -> None:
    rows = table(document("record", "06"), "Readings").rows
    assert [row[2].rsplit(", ", 1)[1] for row in rows] == ["beyond it", "beyond it", "within it"]
    assert all("straight edge 2" in row[3] and "date not written down" in row[3] for row in rows)
    assert [row[4].split(",")[0] for row in rows] == ["KL", "MN", "KL"]


def test_what_was_decided_done_signed_and_looked_at_stands_with_who() -> None:
    page = worked()
    assert facts(page)["Decided"].endswith("(MN)")
    rows = table(page, "Steps").rows
    assert [row[0] for row in rows if row[2] == "MN"] == [rows[0][0]]
    assert rows[0][3].endswith("- MN")
    assert any(row[3].endswith("______") for row in rows[1:])
    assert table(page, "Looked at again").rows == (("dry", "after 520 miles", "MN"),)


def test_what_was_taken_back_is_still_told() -> None:
    ((number, _, by),) = table(worked(), "no longer stand").rows
    assert number == "1"
    assert "MN" in by
    assert "1" not in {row[0] for row in table(worked(), "in the order written").rows}


def test_holds_that_stand_have_room_for_initials() -> None:
    boxed = [block for block in document("record", "12").blocks if isinstance(block, Notice) and block.boxed]
    assert [block.text for block in boxed] == [hold.text for hold in diagnosis("12").holds]


def test_nothing_that_stands_in_the_log_is_left_out() -> None:
    case = diagnosis("12").case
    shown = {row[0] for block in document("record", "12").blocks if isinstance(block, Table) for row in block.rows}
    assert {str(entry.number) for entry in case.standing} <= shown


# -- photos -----------------------------------------------------------------------------------------------


def test_forty_photos_stand_small_in_html_and_pdf() -> None:
    file = Attachment("side.jpg", "jpeg", picture())
    case = photographed()
    page = record_page(diagnosis("06"), photos_of(case, lambda _: file))
    (shown,) = (block for block in page.blocks if isinstance(block, Photos))
    assert len(shown.photos) == FORTY
    assert all(photo.jpeg and max(photo.size) <= 320 for photo in shown.photos)
    assert html_page(page).count(b"<img src=") == FORTY
    assert len(pdf_page(page)) > len(pdf_page(replace(page, blocks=tuple(b for b in page.blocks if b is not shown))))


def test_a_photo_that_is_missing_or_damaged_is_named_all_the_same() -> None:
    def file_of(entry: Record) -> Attachment | None:
        if entry.note == "side-0.jpg":
            raise StorageError("it is not as it was written")
        return None

    first, second, *_ = photos_of(photographed(), file_of)
    assert (first.jpeg, second.jpeg) == (None, None)
    assert "not as it was written" in first.caption
    assert "not at hand" in second.caption


def test_the_record_of_a_stored_case_shows_its_photos(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store = f"sqlite:///{tmp_path / 'cases.db'}"
    photo = tmp_path / "seat.jpg"
    photo.write_bytes(picture())
    assert main(["cases", "import", str(FILES[5]), "--store", store]) == 0
    assert main(["cases", "photo", "KD-0406", str(photo), "--who", "KL", "--store", store]) == 0
    out = tmp_path / "record.html"
    assert main(["report", "KD-0406", "--for", "record", "-o", str(out), "--store", store]) == 0
    assert "data:image/jpeg;base64," in out.read_text("utf-8")
    assert "seat" in bare(out.read_text("utf-8"))
    assert capsys.readouterr().err.endswith("is written\n")


def test_what_was_measured_round_the_joint_stands_on_it_as_a_picture() -> None:
    """Only where there is something to see on it."""
    assert not [block for block in document("record", "01").blocks if isinstance(block, Picture)]
    face = {"face": "housing", "gaps": "12=0 3=2 6=9 9=0 thou"}
    measured = Measurement(number=0, who="KL", by="flatness", readings=face)
    made = record_page(diagnose(knowledge(), grown(diagnosis("06").case, measured)))
    (drawn,) = [block for block in made.blocks if isinstance(block, Picture)]
    assert "housing face: gaps under the straight edge (thou); triangle: low at 6" in drawn.svg
    assert b"triangle: low at 6" in html_page(made)
    assert pdf_page(made).startswith(b"%PDF")
