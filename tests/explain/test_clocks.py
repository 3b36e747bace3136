"""The clocks of a bead: from the entries' times alone, longer in the cold, never shorter than the label."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from leakdx.case import Case, Comeback, Done, Record, RecordKind
from leakdx.explain.clocks import Running, clocks
from leakdx.knowledge.actions import Clock
from leakdx.mechanics.cure import air_factor, depth, open_in_air, wait_in_air
from tests.shipped import knowledge, trade

BEGUN = datetime(2026, 3, 2, 14, 0)
STEPS = {step.clock: step.do for repair in knowledge().repairs.values() for step in repair.steps if step.clock}
LABEL = "open 10 min, fill 2 h, load 24 h, air 23 degC, humidity 50"


def case(*told: tuple[RecordKind, str, int]) -> Case:
    """Records with the minutes after the bead was begun."""
    log = tuple(
        Record(number=n, who="AB", at=BEGUN + timedelta(minutes=after), kind=kind, text=text)
        for n, (kind, text, after) in enumerate(told, start=1)
    )
    return Case(id="KD-1", complaint="carrier_joint", log=log)


def step(clock: Clock, after: int) -> tuple[RecordKind, str, int]:
    return "step", STEPS[clock], after


def read(made: Case, after: int) -> tuple[Running, ...]:
    return clocks(knowledge(), made, BEGUN + timedelta(minutes=after))


def test_no_clock_runs_before_the_first_bead() -> None:
    assert read(case(("sealant", LABEL, 0)), 5) == ()


@pytest.mark.parametrize(
    ("after", "said", "urgent"),
    [
        (
            4,
            "Open time: 6 min left, carrier seated by 14:10 (bead begun 14:00, 4 min ago; by the label, 23 degC)",
            False,
        ),
        (11, "OPEN TIME IS OVER since 14:10 (bead begun 14:00, 11 min ago): off again, clean and lay it anew", True),
    ],
)
def test_the_open_time_runs_from_the_first_bead_and_says_when_it_is_over(after: int, said: str, urgent: bool) -> None:
    (clock,) = read(case(("sealant", LABEL, 0), step("bead begun", 0)), after)
    assert (clock.words, clock.urgent) == (said, urgent)


def test_seated_in_time_it_asks_for_the_torque_and_a_new_bead_begins_anew() -> None:
    made = case(("sealant", LABEL, 0), step("bead begun", 0), step("joint closed", 5))
    assert "every fastener to its torque by 14:10" in read(made, 6)[0].words
    again = case(
        *((e.kind, e.text, n * 5) for n, e in enumerate(made.log) if isinstance(e, Record)), step("bead begun", 60)
    )
    assert "carrier seated by 15:10" in read(again, 61)[0].words


def test_oil_and_load_wait_for_the_label_and_are_said_to_be_allowed_for_a_while() -> None:
    made = case(("sealant", LABEL, 0), step("bead begun", 0), step("joint closed", 5), step("cure begun", 10))
    oil, load = read(made, 40)
    assert oil.words.startswith("NO OIL before 16:10, 90 min to wait")
    assert load.words.startswith("NO LOAD before 2026-03-03 14:10, 23 h 30 min to wait")
    assert read(made, 150)[0].words.startswith("Oil allowed since 16:10")
    assert read(made, 3 * 24 * 60) == ()


def test_a_closing_that_nobody_wrote_down_by_steps_starts_the_waits_and_one_by_steps_keeps_its_own() -> None:
    done = Done(number=9, who="AB", at=BEGUN + timedelta(hours=3), act="reseal_with_sealant")
    whole = Case(id="KD-1", complaint="carrier_joint", log=(done,))
    by_steps = case(step("bead begun", 0), step("cure begun", 10))
    loads = [read(each, 200)[1].until for each in (whole, replace(by_steps, log=(*by_steps.log, done)))]
    waits = timedelta(hours=trade().cure.waits.load_h)
    assert [until - waits - BEGUN for until in loads] == [timedelta(hours=3), timedelta(minutes=10)]


def test_in_the_cold_the_load_waits_two_or_three_times_as_long() -> None:
    made = case(("sealant", LABEL.replace("23 degC", "50 degF"), 0), step("bead begun", 0), step("cure begun", 10))
    load = read(made, 20)[1]
    assert 48 < (load.until - BEGUN).total_seconds() / 3600 < 72


def test_without_a_label_usual_times_stand_in_and_say_so() -> None:
    (clock,) = read(case(step("bead begun", 0)), 4)
    assert "usual time, label not typed, usual air, temperature not typed" in clock.words
    assert clock.until == BEGUN + timedelta(minutes=trade().cure.waits.open_min)


def test_a_closed_case_and_a_truck_that_came_back_have_no_clock() -> None:
    made = case(step("bead begun", 0), ("closed", "held", 30))
    assert read(made, 31) == ()
    back = (Done(number=2, who="AB", act="reseal_with_sealant"), Comeback(number=3, who="AB", place="carrier_joint"))
    assert read(Case(id="KD-1", complaint="carrier_joint", log=(*case(step("bead begun", 0)).log, *back)), 31) == ()


@given(air=st.floats(-10, 45), humidity=st.floats(5, 100), label=st.floats(60, 1e6))
def test_a_wait_is_never_below_the_label_and_cures_as_deep_as_it(air: float, humidity: float, label: float) -> None:
    factor, speed = air_factor(air, humidity), trade().cure.depth_mm_per_root_day.as_band
    wait, opened = wait_in_air(label, factor), open_in_air(label, factor)
    assert opened <= label <= wait
    assert depth(speed, wait, factor).likely >= depth(speed, label).likely * (1 - 1e-9)
