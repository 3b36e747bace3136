"""The job sheet: nothing done before what must come first, and room by pen for all that is read."""

import io

import pypdf
import pytest
from msgspec.structs import replace

from leakdx.case import Done, Measurement, Observation
from leakdx.explain.job import job_parts
from leakdx.explain.work import recheck_by
from leakdx.knowledge.place_signs import wet_sign
from leakdx.measured.axle import COUNT
from leakdx.mechanics.places import arc_of_hours
from leakdx.pages.document import Beside, Block, NewPage, Notice, Points, Step, Steps, Table
from leakdx.pages.job import job_page
from leakdx.pages.pdf import pdf_page
from leakdx.pages.ring import wet_stretch
from leakdx.pages.sheet import measuring_sheet
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.pages.made import CASES, document, html
from tests.pages.test_record import grown, worked_case
from tests.shipped import diagnosis, knowledge, stopped

FAMILIES = tuple(knowledge().axles)


def steps_of(name: str) -> list[Step]:
    return [step for block in document("job", name).blocks if isinstance(block, Steps) for step in block.steps]


def at_axle(family: str) -> Diagnosis:
    """The case of the face beyond its limit on an axle of another family; what that has fitted is of no weight here."""
    return diagnose(knowledge(), replace(diagnosis("06").case, axle=family, log=()))


def sheet_tables(family: str) -> tuple[Table, Table]:
    """The table of the ring and that of the faces."""
    ring, faces = (block for block in _flat(measuring_sheet(at_axle(family))) if isinstance(block, Table))
    return ring, faces


def _flat(blocks: list[Block]) -> list[Block]:
    return [each for block in blocks for each in (block.left if isinstance(block, Beside) else (block,))]


def test_holds_and_fit_to_drive_come_before_any_step() -> None:
    for name in ("01", "06", "08"):
        blocks = document("job", name).blocks
        first = next(place for place, block in enumerate(blocks) if isinstance(block, Steps))
        notices = [block for block in blocks[:first] if isinstance(block, Notice)]
        assert len(notices) == 1 + len(diagnosis(name).holds)
        assert all(notice.boxed for notice in notices[1:])


def test_every_step_of_the_job_stands_with_its_cautions_and_its_hold() -> None:
    made = diagnosis("06")
    wanted = [row.step for part in job_parts(made, made.answers.repairs[0].actions) for row in part.rows]
    shown = steps_of("06")[-len(wanted) :]
    assert [(step.do, step.hold or "") for step in wanted] == [(step.do, step.hold) for step in shown]
    check = made.answers.next_check
    opened = [knowledge().openings[id].cautions for id in check.opens] if check else []
    told = {*(id for ids in opened for id in ids), *(check.cautions if check else ())}  # at the look, further up
    for step, row in zip(shown, wanted, strict=True):
        fresh = [knowledge().cautions[id].text for id in row.cautions if id not in told]
        again = [knowledge().cautions[id].name for id in row.cautions if id in told]
        assert list(step.cautions) == [*fresh, *([f"as above - {'; '.join(again)}"] if again else [])]
        told.update(row.cautions)
    assert told


@pytest.mark.parametrize("name", CASES)
def test_no_caution_is_told_in_full_twice_on_one_sheet(name: str) -> None:
    told = [caution for step in steps_of(name) for caution in step.cautions if not caution.startswith("as above - ")]
    assert told
    assert len(told) == len(set(told))


def test_the_sheet_shows_the_joint_wet_where_the_complaint_is_and_not_before_it_was_closed() -> None:
    case = diagnosis("06").case
    sign = wet_sign(case.complaint)
    seen = Observation(number=0, who="AB", sign=sign, answer="yes", arc=(4, 6))
    elsewhere = Observation(number=0, who="AB", sign="wet.pinion_seal", answer="yes", arc=(11, 1))
    stretch = wet_stretch(diagnose(knowledge(), grown(replace(case, log=()), seen, elsewhere)))
    wanted = arc_of_hours(4, 6)
    assert stretch is not None
    assert (stretch.start, stretch.width) == pytest.approx((wanted.start, wanted.width))
    done = Done(number=0, who="AB", act="reseal_with_sealant")
    assert wet_stretch(diagnose(knowledge(), grown(replace(case, log=()), seen, done))) is None


def test_each_answer_has_its_box_and_so_has_not_looked_at() -> None:
    made = diagnosis("08")
    check = made.answers.next_check
    assert check is not None
    table = next(block for block in document("job", "08").blocks if isinstance(block, Table))
    assert len(table.rows) == len(knowledge().checks[check.id].reveals)
    for _, ticks in table.rows:
        answers = [answer.replace("\u00a0", " ").strip() for answer in ticks.split("☐")[1:]]
        assert answers[-1] == "not looked at"
        assert {"yes", "no", "unsure", "can't reach"} <= set(answers)


@pytest.mark.parametrize("family", FAMILIES)
def test_as_found_stands_before_as_left_with_a_row_for_each_fastener(family: str) -> None:
    ring, faces = sheet_tables(family)
    heads = [column.head for column in ring.columns]
    passes = [place for place, head in enumerate(heads) if head.startswith("Pass")]
    assert heads.index("As found") < heads.index("Not looked at") < min(passes)
    assert max(passes) < heads.index("Recheck")
    count = knowledge().axles[family].values.get(COUNT.value)
    if count is None:
        assert {row[heads.index("Turn")] for row in ring.rows} == {""}
        assert all("%" in heads[place] for place in passes), "shares, and no torque"
        assert "______" in faces.title
    else:
        assert sorted(int(row[heads.index("Turn")]) for row in ring.rows) == list(range(1, round(count.value) + 1))
    assert [column.head for column in faces.columns].index("Housing, as found") < 4


@pytest.mark.parametrize("family", FAMILIES)
def test_the_measuring_sheet_is_one_sheet_of_either_paper(family: str) -> None:
    page = replace(document("job", "06"), blocks=(NewPage(), *measuring_sheet(at_axle(family))))
    for paper in ("letter", "a4"):
        assert len(pypdf.PdfReader(io.BytesIO(pdf_page(page, paper))).pages) == 2, "the title's and the sheet's"


def test_readings_that_the_case_has_stand_in_the_sheet_already() -> None:
    typed = " ".join(str(200 + each) for each in range(16)) + " lb-ft"
    measured = Measurement(number=99, who="AB", by="fasteners", readings={"audit": typed, "grade": "8"})
    case = diagnosis("06").case
    made = diagnose(knowledge(), replace(case, log=(*case.log, replace(measured, number=len(case.log) + 1))))
    ring = next(block for block in measuring_sheet(made) if isinstance(block, Table))
    assert [row[2] for row in ring.rows] == [str(200 + each) for each in range(16)]


def test_where_nothing_is_repaired_the_sheet_says_when_to_look_again_or_whom_to_ask() -> None:
    assert recheck_by(diagnosis("09")) in html("job", "09")
    said = [block for block in job_page(stopped()[2]).blocks if isinstance(block, Notice)]
    assert any("STOP" in notice.head for notice in said)


def test_tools_and_parts_can_be_ticked_before_the_first_step_of_the_job() -> None:
    blocks = document("job", "01").blocks
    ticked = [place for place, block in enumerate(blocks) if isinstance(block, Points) and block.ticks]
    assert ticked[0] < next(place for place, block in enumerate(blocks) if isinstance(block, Steps))


def test_what_was_decided_and_done_is_ticked_and_signed_on_the_sheet() -> None:
    (first,) = [step for step in steps_of_page(worked_case()) if step.done]
    assert (first.done, first.signed) == ("MN", "MN")


def steps_of_page(made: Diagnosis) -> list[Step]:
    return [step for block in job_page(made).blocks if isinstance(block, Steps) for step in block.steps]
