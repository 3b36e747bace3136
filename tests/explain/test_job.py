"""The job sheet: the steps of all repairs of a path in one order of work, each done once."""

import pytest
from msgspec.structs import replace

from leakdx.explain.job import TITLES, Part, job_parts, merged, work_order
from leakdx.explain.technician import technician_text
from leakdx.knowledge.actions import PHASES, Step
from tests.shipped import NAMES, diagnosis, flat, knowledge, parts

WHOLE = (
    "inspect_after_low_level",
    "new_fasteners",
    "fit_tapered_dowels",
    "dress_face",
    "reseal_with_gasket",
    "replace_pinion_seal",
    "replace_wheel_seal",
    "renew_oiled_linings",
)


def said(job: tuple[Part, ...]) -> list[str]:
    return [row.step.do for part in job for row in part.rows]


def place(job: tuple[Part, ...], start: str) -> int:
    """Place of the one step that begins or goes on with these words."""
    found = [n for n, do in enumerate(said(job)) if start in do]
    assert len(found) == 1, (start, found)
    return found[0]


@pytest.fixture(scope="module")
def whole() -> tuple[Part, ...]:
    made = diagnosis("05")
    return job_parts(made, WHOLE)


@pytest.mark.parametrize("repair", knowledge().repairs)
def test_the_phases_of_a_repair_never_go_back(repair: str) -> None:
    places = [PHASES.index(step.phase) for step in knowledge().repairs[repair].steps]
    assert places == sorted(places)


@pytest.mark.parametrize("name", NAMES)
def test_every_step_of_every_repair_is_done_and_none_twice(name: str) -> None:
    made = diagnosis(name)
    for path in made.answers.repairs:
        job = job_parts(made, path.actions)
        assert len(said(job)) == len(set(said(job)))
        steps = [step for action in path.actions for step in knowledge().repairs[action].steps]
        assert {step.do for step in steps} <= set(said(job))
        for step in steps:
            row = next(row for part in job for row in part.rows if row.step.do == step.do)
            assert set(step.cautions) <= set(row.step.cautions)
            assert step.hold is None or step.hold in (row.step.hold or "")


def test_phases_stand_in_the_order_of_work(whole: tuple[Part, ...]) -> None:
    assert [part.title for part in whole] == [TITLES[phase] for phase in PHASES]


def test_dowels_are_seated_between_the_carrier_and_the_torque(whole: tuple[Part, ...]) -> None:
    seated = place(whole, "Bring the carrier in evenly")
    dowels = place(whole, "seat them by the taper")
    bagged = place(whole, "The new set stays bagged by place until the carrier is up")
    torque = place(whole, "Start every fastener by hand")
    assert seated < dowels < torque
    assert seated < bagged < torque


def test_holes_are_blown_out_before_the_white_cloth_and_faces_measured_after_they_are_dressed(
    whole: tuple[Part, ...],
) -> None:
    assert place(whole, "Blow every hole out") < place(whole, "then wipe with a white cloth")
    assert place(whole, "Oil stone flat on the face") < place(
        whole, "straight edge and 0.005 in feeler all the way round"
    )


def test_the_opening_stands_where_it_is_needed_and_says_for_what(whole: tuple[Part, ...]) -> None:
    wheel = place(whole, "wheel end off")
    assert place(whole, "laid out and counted before anything is undone") < wheel < place(whole, "Read the old seal")
    assert said(whole)[wheel].endswith("for: Replace the wheel seal; Renew oiled linings, clean the drums")


def test_what_is_open_already_is_not_opened_again() -> None:
    made = diagnosis("02")
    assert "carrier_out" in made.timeline.open
    job = job_parts(made, ("new_fasteners", "reseal_with_gasket"))
    assert not [do for do in said(job) if do.startswith("carrier out")]


def test_cautions_and_holds_of_a_step_that_two_repairs_share_are_joined() -> None:
    repairs = knowledge().repairs
    one = replace(repairs["dress_face"], steps=(Step(do="Do it.", cautions=("stands",), hold="First seen."),))
    two = replace(repairs["new_fasteners"], steps=(Step(do="Do it.", cautions=("hot_oil",), hold="Second seen."),))
    (row,) = merged({"dress_face": one, "new_fasteners": two}, "mend")
    assert row.step.cautions == ("stands", "hot_oil")
    assert row.step.hold == "First seen. Second seen."
    assert row.of == ("dress_face", "new_fasteners")


def test_what_must_come_first_is_done_first() -> None:
    made = diagnosis("13")
    order = work_order(made, made.answers.repairs[0].actions)
    assert order.index("inspect_after_low_level") < order.index("new_fasteners") < order.index("reseal_with_gasket")


def test_every_step_has_a_number_and_a_box_to_tick() -> None:
    made = diagnosis("05")
    text = technician_text(*parts("05"))
    for number, part in enumerate(job_parts(made, made.answers.repairs[0].actions), start=1):
        assert f"\n{number}  {part.title}\n" in text
        for at in range(1, len(part.rows) + 1):
            assert f"\n[ ] {number}.{at} " in text


def test_tools_and_parts_stand_before_anything_is_undone() -> None:
    text = flat(technician_text(*parts("05")))
    assert text.index("Have ready:") < text.index("Parts:") < text.index(TITLES["open"])
    for action in diagnosis("05").answers.repairs[0].actions:
        assert all(flat(tool) in text for tool in knowledge().repairs[action].tools)
