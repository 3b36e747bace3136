"""The interview apart from any screen: what comes next, what a reply writes, and that it always comes to an end."""

from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import structs

from leakdx.case import Case, Done, Doubt, Note, Observation, PlacesSeen, Reading, Told, Withdrawal
from leakdx.interview.agenda import Agenda
from leakdx.interview.question import Question, Reply, ReplyError
from leakdx.interview.session import Interview
from leakdx.interview.understand import understand
from leakdx.knowledge.loader import load_knowledge, shipped_folder
from leakdx.knowledge.model import Act, Knowledge
from leakdx.store.casefile import CaseFile, read_case

SIX = load_knowledge([Path(__file__).parent.parent / "data" / "six"])
SHIPPED = load_knowledge([shipped_folder()])
LATEST = 80


def with_acts(knowledge: Knowledge) -> Knowledge:
    """The six causes with the carrier out brought about by an act, as in a real knowledge."""
    pulled = Act(name="carrier pulled", mark="from memory", reason="For this test.", opens=("carrier_out",))
    out = structs.replace(knowledge.openings["carrier_out"], act="carrier_out")
    return structs.replace(
        knowledge,
        hash="",
        acts={**knowledge.acts, "carrier_out": pulled},
        openings={**knowledge.openings, "carrier_out": out},
    )


def begun(folder: Path, knowledge: Knowledge = SIX, log: Case | None = None) -> Interview:
    """An interview on a new file, with a clock that goes on by a minute at each reply."""
    case = log or Case(id="KD-1", complaint=knowledge.complaint, unit="Tractor 17", axle="from_manual")
    file = CaseFile.create(folder / "case.yaml", knowledge, case)
    minutes = count()
    return Interview(knowledge, file, "AB", lambda: datetime(2026, 3, 2, 8) + timedelta(minutes=next(minutes)))


def say(interview: Interview, line: str) -> tuple[str, ...]:
    """Reply to the question that is open."""
    question = interview.question()
    return interview.take(question, understand(question, line))


def asked_to_its_end(
    interview: Interview, by_kind: Mapping[str, str], told: Mapping[str, str] = MappingProxyType({})
) -> list[str]:
    """What is asked until nothing is, where the joint is wet at the bottom, and ? is the answer to all else."""
    asked: list[str] = []
    for _ in range(LATEST):
        question = interview.question()
        if question.kind in ("repair", "end"):
            break
        asked.append(question.id)
        replies = {"places": "1 arc 5-7 rest dry", **by_kind}
        say(interview, replies.get(question.kind, told.get(question.id, "?")))
    return asked


def until(interview: Interview, kind: str, line: str = "?") -> Question:
    """Reply the same to everything up to a question of some kind."""
    for _ in range(LATEST):
        question = interview.question()
        if question.kind == kind:
            return question
        interview.take(question, understand(question, "n" if question.kind == "act" else line))
    raise AssertionError(f"no question of kind {kind}")


# -- what comes next --------------------------------------------------------------------------------------


def test_it_opens_with_the_truck_and_then_what_is_cheap(tmp_path: Path) -> None:
    interview = begun(tmp_path, log=Case(id="KD-1", complaint="carrier_joint"))
    kinds = []
    for line in ("Tractor 17", "onyx_single", "1 arc 5-7 rest dry", "no", "no"):
        kinds.append(interview.question().id)
        say(interview, line)
    # What seals the joint is not asked: this axle family settles it.
    assert kinds == ["unit", "axle", "wet.carrier_joint", "dust_caked_on_oil", "wet_soon_after_reseal"]
    assert (interview.case.unit, interview.case.axle) == ("Tractor 17", "onyx_single")


def test_what_is_not_known_of_the_truck_is_not_asked_again(tmp_path: Path) -> None:
    interview = begun(tmp_path, log=Case(id="KD-1", complaint="carrier_joint"))
    interview.note("a remark first")
    say(interview, "?")
    say(interview, "?")
    assert interview.question().kind == "places"
    assert read_case(tmp_path / "case.yaml", SIX).truck == {"unit": "not known", "axle": "not known"}


def test_after_the_opening_comes_the_check_worth_its_minutes(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for line in ("1 rest dry", "no", "sealant", "no"):
        say(interview, line)
    question = interview.question()
    answers = interview.diagnosis.answers
    assert answers.next_check is not None
    assert question.check == answers.next_check.id
    assert question.why == answers.next_check.why


def test_a_look_is_finished_before_another_begins(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for line in ("1 rest dry", "no", "sealant", "no"):
        say(interview, line)
    first = interview.question()
    say(interview, "?")
    second = interview.question()
    assert second.check == first.check
    assert second.id != first.id


def test_the_question_follows_from_the_file_alone(tmp_path: Path) -> None:
    interview = begun(tmp_path, with_acts(SIX))
    for _ in range(30):
        question = interview.question()
        again = Interview(interview.knowledge, CaseFile.open(tmp_path / "case.yaml", interview.knowledge), "CD")
        assert again.question() == question
        if question.kind in ("repair", "end"):
            return
        lines = {"places": "1 rest dry", "act": "y", "reading": "0.002"}
        say(interview, lines.get(question.kind, "1"))


def test_a_hold_is_settled_first_and_stands_before_what_it_holds(tmp_path: Path) -> None:
    rule = SIX.rules["look_before_wash"]
    holding = structs.replace(rule, then=(structs.replace(rule.then[0], record=("torque_audit",)),))
    interview = begun(tmp_path, structs.replace(SIX, hash="", rules={**SIX.rules, "look_before_wash": holding}))
    # On an old crust alone what seals the joint moves next to nothing, so it is asked after the next answer.
    for line in ("1 rest dry", "yes", "yes", "sealant"):
        say(interview, line)
    question = interview.question()
    assert question.check == "torque_audit"
    assert question.why == rule.then[0].hold
    say(interview, "x")  # once for the whole look: what cannot be reached is not asked again sign by sign
    question = interview.question()
    assert (question.kind, question.id) == ("act", "washed")
    assert question.holds == (rule.then[0].hold,)


def test_what_a_hold_wants_before_the_repair_is_asked_before_the_repair_is_shown(tmp_path: Path) -> None:
    rule = SIX.rules["look_before_wash"]
    hold = structs.replace(rule.then[0], before=tuple(SIX.repairs), record=("torque_audit",))
    shops = {id: structs.replace(shop, floor_minutes=1e6) for id, shop in SIX.shops.items()}  # so that no look pays
    rules = {**SIX.rules, "look_before_wash": structs.replace(rule, then=(hold,))}
    interview = begun(tmp_path, structs.replace(SIX, hash="", rules=rules, shops=shops))
    for line in ("1 rest dry", "no", "sealant", "yes"):
        say(interview, line)
    assert interview.diagnosis.decision.do == "repair"
    question = interview.question()
    assert (question.check, question.why, question.holds) == ("torque_audit", hold.hold, ())
    for _ in SIX.checks["torque_audit"].reveals:
        assert interview.question().check == "torque_audit"
        say(interview, "?")
    assert interview.question().kind == "repair"


def test_what_needs_an_act_asks_for_the_act_and_then_for_what_it_shows(tmp_path: Path) -> None:
    interview = begun(tmp_path, with_acts(SIX))
    interview.did("carrier_out")
    question = until(interview, "reading")
    assert question.id == "housing_face_flatness"
    assert question.unit == "in"
    assert interview.case.log[0] == Done(number=1, who="AB", at=datetime(2026, 3, 2, 8), act="carrier_out")


def test_an_act_that_will_not_be_done_leaves_its_signs_out_of_reach(tmp_path: Path) -> None:
    interview = begun(tmp_path, with_acts(SIX))
    for line in ("1 rest dry", "no", "sealant", "no"):
        say(interview, line)
    question = until(interview, "act")
    before = len(interview.case.log)
    say(interview, "n")
    written = interview.case.log[before:]
    assert {entry.answer for entry in written if isinstance(entry, Observation | Told)} <= {"can't reach", "unsure"}
    assert len(written) == len(interview.knowledge.checks[question.check].reveals)
    assert interview.question().id != question.id
    interview.undo()
    assert interview.question() == question, "one undo takes back all that one reply wrote"


def test_it_comes_to_a_repair_and_goes_on_when_some_of_it_was_done(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for line in ("1 rest dry", "no", "sealant", "yes"):
        say(interview, line)
    for _ in range(LATEST):
        question = interview.question()
        if question.kind == "repair":
            break
        say(interview, {"sign": "1", "reading": "0.002", "act": "y", "places": "1 rest dry"}.get(question.kind, "1"))
    assert question.kind == "repair"
    assert [option.id for option in question.options] == list(interview.diagnosis.answers.repairs[0].actions)
    say(interview, "1")
    assert interview.case.log[-1] == structs.replace(interview.case.log[-1], act=question.options[0].id)
    assert interview.diagnosis.timeline.epoch >= 1


# -- what a reply writes ----------------------------------------------------------------------------------


def test_replies_become_entries(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    at = datetime(2026, 3, 2, 8)
    assert say(interview, "1 arc 5-7 dry 2~") == (
        "1. wet: carrier-to-housing joint, arc 5-7; dry: pinion seal, fairly sure",
    )
    assert say(interview, "?") == ("2. dust caked on the oil: unsure",)
    assert say(interview, "gasket") == ("3. what the joint is sealed with: a gasket",)
    places, observed, told = interview.case.log
    assert places == PlacesSeen(
        number=1, who="AB", at=at, wet=("carrier_joint",), dry=("pinion_seal",), arc=(5.0, 7.0), sure="fairly"
    )
    assert isinstance(observed, Observation)
    assert isinstance(told, Told)
    assert read_case(tmp_path / "case.yaml", SIX) == interview.case


def test_a_reading_out_of_range_changes_nothing(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    question = Question(kind="reading", id="housing_face_flatness", text="", check="open_joint_look", unit="in")
    before = (tmp_path / "case.yaml").read_bytes()
    for line, says in (
        ("6", "outside what can be read"),
        ("0.006 psi", "a length is wanted"),
        ("flat", "not a number"),
        ("0.006 in with feeler 12 calibrated soon", "'soon' is no day until now; write when the tool was calibrated"),
        ("0.006 in with feeler 12 calibrated 2999-01-01", "'2999-01-01' is no day until now"),
    ):
        with pytest.raises(ReplyError, match=says):
            interview.take(question, understand(question, line))
    assert (tmp_path / "case.yaml").read_bytes() == before
    read = interview.take(question, understand(question, "0.13 mm with feeler 12, calibrated 2026-01-12"))
    assert "0.13 mm with feeler 12, calibrated 2026-01-12" in read[0]
    (entry,) = interview.case.log
    assert isinstance(entry, Reading)
    assert (entry.value, entry.unit, entry.tool, entry.calibrated) == ("0.13", "mm", "feeler 12", "2026-01-12")


def test_places_nobody_can_tell_are_written_one_by_one(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    say(interview, "x")
    assert [(e.sign, e.answer) for e in interview.case.log if isinstance(e, Observation)] == [
        ("wet.carrier_joint", "can't reach"),
        ("wet.pinion_seal", "can't reach"),
    ]
    assert interview.question().kind == "sign"


def test_the_drivers_own_words_stand_apart_from_the_log(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for words in ("it drips over night", "since the new ramp"):
        assert interview.story(words) == (f"the driver's own words: {words}",)
    assert read_case(tmp_path / "case.yaml", SIX).story == "it drips over night\nsince the new ramp"
    assert interview.case.log == ()


def test_what_was_done_and_remarks_can_be_written_at_any_time(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    assert interview.did("washed")[0].startswith("1. done: ")
    assert interview.did("Clear the Breather") == ("2. done: clear the breather",)
    assert interview.note("parts on order") == ("3. note: parts on order",)
    with pytest.raises(ReplyError, match="no act or repair 'wsahed'; did you mean 'washed'"):
        interview.did("wsahed")
    assert [type(entry) for entry in interview.case.log] == [Done, Done, Note]


def test_a_tool_or_an_act_can_be_doubted_at_any_time(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    assert interview.doubt("torque wrench 0.3") == ("1. doubted: torque wrench, 30% that it was bad",)
    interview.doubt("torque_wrench 0.5 with wrench 4")
    assert interview.doubt("torque wrench 0")[0] == "3. not doubted: torque wrench"
    assert interview.case.log[1] == Doubt(
        number=2, who="AB", at=datetime(2026, 3, 2, 8, 1), doubt="torque_wrench", chance=0.5, tool="wrench 4"
    )
    for typed, wrong in (("torque wrench", "how much"), ("torque wrench 3", "how much"), ("spanner 0.3", "no instr")):
        with pytest.raises(ReplyError, match=wrong):
            interview.doubt(typed)


def test_a_comeback_is_written_down_and_begins_anew(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    with pytest.raises(ReplyError, match="only after it was closed here"):
        interview.came_back("")
    interview.did("reseal_with_gasket")
    assert interview.came_back("") == ("2. came back wet: carrier-to-housing joint",)
    with pytest.raises(ReplyError, match="written down already, as entry 2"):
        interview.came_back("")
    assert interview.diagnosis.answers.comebacks[0].entry == 2


# -- taking back ------------------------------------------------------------------------------------------


def test_undo_withdraws_and_asks_again(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    say(interview, "1 rest dry")
    question = interview.question()
    say(interview, "yes")
    assert interview.undo() == ("3. entry 2 is withdrawn",)
    assert interview.question() == question
    assert isinstance(interview.case.log[-1], Withdrawal)
    interview.undo()
    assert interview.question().kind == "places"
    assert len(interview.case.standing) == 0


def test_undo_of_an_answer_given_anew_in_an_earlier_sitting_lets_the_first_answer_stand_again(tmp_path: Path) -> None:
    first = begun(tmp_path)
    say(first, "1 rest dry")
    say(first, "yes")
    stood = first.case.standing
    question = first.again(2)
    assert question is not None
    first.revise(2, question, understand(question, "no"))
    later = Interview(SIX, CaseFile.open(tmp_path / "case.yaml", SIX), "CD")
    assert later.case.standing != stood
    later.undo()
    assert later.case.standing == stood


def test_undo_of_a_named_entry(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for line in ("1 rest dry", "yes", "no"):
        say(interview, line)
    interview.undo(2)
    assert [entry.number for entry in interview.case.standing] == [1, 3]
    for entry in (2, 4, 9):
        with pytest.raises(ReplyError, match="the entries that stand are 1, 3"):
            interview.undo(entry)


def test_undo_before_the_first_entry_asks_about_the_truck_again(tmp_path: Path) -> None:
    interview = begun(tmp_path, log=Case(id="KD-1", complaint="carrier_joint"))
    with pytest.raises(ReplyError, match="nothing to take back yet"):
        interview.undo()
    say(interview, "Tractor 17")
    say(interview, "?")
    interview.undo()
    assert interview.question().id == "axle"
    interview.undo()
    assert interview.question().id == "unit"
    assert interview.case == Case(id="KD-1", complaint="carrier_joint")
    assert read_case(tmp_path / "case.yaml", SIX) == interview.case


# -- it ends ----------------------------------------------------------------------------------------------

lines = st.sampled_from(["1", "2", "3", "?", "x", "nf", "1~", "yes", "no", "y", "n", "1 rest dry", "none", "0.002"])


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_whatever_is_replied_it_comes_to_an_end_and_loses_nothing(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    knowledge = with_acts(SIX)
    folder = tmp_path_factory.mktemp("end")
    interview = begun(folder, knowledge)
    for _ in range(LATEST):
        question = interview.question()
        if question.kind in ("repair", "end"):
            break
        before = interview.case.log
        try:
            interview.take(question, understand(question, data.draw(lines)))
        except ReplyError:
            # Not understood, or a reading that cannot be: nothing is written, and something else is said.
            assert interview.case.log == before
            interview.take(question, {"act": Reply(answer="no")}.get(question.kind, Reply(answer="unsure")))
        assert interview.case.log[: len(before)] == before
        assert len(interview.case.log) > len(before)
    else:
        raise AssertionError("still asking")
    assert read_case(folder / "case.yaml", knowledge) == interview.case


def test_the_shipped_knowledge_asks_from_wet_to_a_repair(tmp_path: Path) -> None:
    knowledge = SHIPPED
    told = {"sealing_material": "sealant", "last_opened": "within_3_months", "opened_by": "own_shop"}
    interview = begun(tmp_path, knowledge)
    asked = asked_to_its_end(interview, {"act": "y"}, told)
    assert interview.question().kind == "repair"
    assert asked[0].startswith("wet.")
    assert len(set(asked)) == len(asked), "nothing is asked twice"
    assert set(told) <= set(asked)


def test_once_the_oil_is_out_its_level_is_asked_no_more_and_its_look_still_is(tmp_path: Path) -> None:
    interview = begun(tmp_path, SHIPPED)
    level, look = "level_on_arrival", "oil_look"
    assert interview.of_check(level) is not None
    interview.did("carrier_out")
    assert interview.of_check(level) is None
    asked = interview.of_check(look)
    assert asked is not None
    assert asked.id == "oil_burnt"
    interview.undo()
    assert interview.of_check(level) is not None


# -- taking back what other answers stand on --------------------------------------------------------------


def saw(interview: Interview, sign: str) -> tuple[str, ...]:
    """Reply yes to a sign, as a screen may that shows more than the one question."""
    return interview.take(Question(kind="sign", id=sign, text=""), Reply(answer="yes"))


@pytest.mark.parametrize(
    ("acts", "sign"),
    [(("carrier_out",), "bead_peels_clean"), (("washed", "driven"), "origin.pinion_seal")],
)
def test_what_cannot_have_been_seen_without_an_act_goes_with_it(
    tmp_path: Path, acts: tuple[str, ...], sign: str
) -> None:
    knowledge = with_acts(SIX)
    interview = begun(tmp_path, knowledge)
    interview.note("first")
    for act in acts:
        interview.did(act)
    seen = len(interview.case.log) + 1
    saw(interview, sign)
    said = interview.undo(seen - 1)
    assert said == (
        f"{seen + 1}. entry {seen - 1} is withdrawn",
        f"{seen + 2}. entry {seen} is withdrawn: it cannot have been seen without entry {seen - 1}",
    )
    assert read_case(tmp_path / "case.yaml", knowledge) == interview.case
    assert interview.question().kind != "end", "the interview goes on"


def test_what_could_not_be_read_again_is_not_saved(tmp_path: Path) -> None:
    knowledge = with_acts(SIX)
    interview = begun(tmp_path, knowledge)
    before = (tmp_path / "case.yaml").read_bytes()
    with pytest.raises(ReplyError, match=r"not saved, it could not be read again: .*cannot have been seen yet"):
        saw(interview, "bead_peels_clean")
    assert (tmp_path / "case.yaml").read_bytes() == before
    assert interview.case.log == ()


steps = st.lists(
    st.tuples(st.just("say"), lines)
    | st.tuples(st.just("did"), st.sampled_from(["washed", "driven", "carrier_out"]))
    | st.tuples(st.just("saw"), st.sampled_from(["bead_peels_clean", "origin.pinion_seal", "torque_pattern"]))
    | st.tuples(st.just("u"), st.none() | st.integers(1, 6)),
    min_size=3,
    max_size=20,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps)
def test_whatever_is_replied_and_taken_back_the_file_can_be_read(
    tmp_path_factory: pytest.TempPathFactory, typed: list[tuple[str, str | int | None]]
) -> None:
    knowledge = with_acts(SIX)
    folder = tmp_path_factory.mktemp("undo")
    interview = begun(folder, knowledge)
    step = {"say": partial(say, interview), "did": interview.did, "saw": partial(saw, interview), "u": interview.undo}
    for kind, what in typed:
        with suppress(ReplyError):
            step[kind](what)  # type: ignore[operator]
        assert read_case(folder / "case.yaml", knowledge) == interview.case


def test_what_stood_before_an_act_is_said_and_the_act_is_written_down_all_the_same(tmp_path: Path) -> None:
    shipped = SHIPPED
    wet = Observation(number=1, who="AB", sign="wet.carrier_joint", answer="yes")
    interview = begun(tmp_path, shipped, Case(id="KD-1", complaint=shipped.complaint, unit="17", log=(wet,)))
    holds = [hold for hold in interview.diagnosis.holds if "washed" in hold.before]
    assert holds
    assert [f"HOLD stood before it: {hold.text}" for hold in holds] == list(interview.stood_before("washed"))
    interview.did("washed")
    assert interview.case.log[-1] == Done(number=2, who="AB", act="washed", at=datetime(2026, 3, 2, 8))
    assert not interview.stood_before("driven")
    with pytest.raises(ReplyError, match="no act or repair 'wahsed'"):
        interview.stood_before("wahsed")


def test_a_repair_is_not_over_until_it_is_proved(tmp_path: Path) -> None:
    """A breather that was cleared and a truck that nobody looked at again are no all-clear."""
    shipped = SHIPPED
    log = (
        Observation(number=1, who="AB", sign="wet.carrier_joint", answer="yes"),
        Observation(number=2, who="AB", sign="breather_no_flow", answer="yes"),
        Observation(number=3, who="AB", sign="wet.pinion_seal", answer="no"),
        Observation(number=4, who="AB", sign="level_high", answer="no"),
    )
    interview = begun(tmp_path, shipped, Case(id="KD-1", complaint=shipped.complaint, unit="17", log=log))
    for act in ("clear_breather", "washed"):
        interview.did(act)
    question = until(interview, "end")
    assert "nothing to repair" not in question.text.casefold()
    assert "holds" in question.text


def test_something_that_was_seen_can_be_said_before_it_is_asked_for(tmp_path: Path) -> None:
    shipped = SHIPPED
    interview = begun(tmp_path, shipped, Case(id="KD-1", complaint=shipped.complaint, unit="17", axle="from_manual"))
    interview.saw("crack_line_seen")
    assert interview.diagnosis.fit_to_drive.answer == "no"
    interview.saw("torque_pattern: neighbours_low")
    interview.saw("leak_grade: stream ~")
    said = [(e.sign, e.answer, e.sure) for e in interview.case.log if isinstance(e, Observation)]
    assert said == [
        ("crack_line_seen", "yes", "sure"),
        ("torque_pattern", "neighbours_low", "sure"),
        ("leak_grade", "stream", "fairly"),
    ]
    with pytest.raises(ReplyError, match="did you mean 'crack_line_seen'"):
        interview.saw("crack_lin_seen")
    with pytest.raises(ReplyError):
        interview.saw("torque_pattern: slack")


def test_what_was_told_can_be_said_before_it_is_asked_for(tmp_path: Path) -> None:
    interview = begun(tmp_path, SHIPPED, Case(id="KD-1", complaint=SHIPPED.complaint, unit="17", axle="from_manual"))
    interview.saw("came back: once")
    assert [(e.group, e.answer) for e in interview.case.log if isinstance(e, Told)] == [("came_back", "once")]
    with pytest.raises(ReplyError, match="is told: type saw came back"):
        interview.came_back("")
    with pytest.raises(ReplyError, match=r"say which after a colon.*gear oil"):
        interview.saw("fluid")
    with pytest.raises(ReplyError, match=r"say which after a colon.*: in$"):
        interview.saw("housing_face_flatness")


def test_the_rest_of_a_look_at_the_places_is_written_down_as_what_it_was(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    places = len(interview.question().options)
    written = say(interview, "1 rest ?")
    assert len(interview.case.log) == places
    assert all("unsure" in line for line in written[1:])


def test_places_of_which_nobody_can_tell_are_read_back_in_one_line(tmp_path: Path) -> None:
    log = Case(id="KD-1", complaint=SHIPPED.complaint, unit="17", axle="onyx_single")
    interview = begun(tmp_path, SHIPPED, log)
    places = len(interview.question().options)
    written = say(interview, "1 rest ?")
    assert len(written) == 2
    assert written[1].startswith(f"2-{places}. unsure: ")


def test_a_word_of_a_mechanic_finds_what_it_may_mean(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    with pytest.raises(ReplyError, match="'reseal' can mean several; type one of: "):
        interview.did("reseal")
    with pytest.raises(ReplyError, match="there is no act or repair 'zz'"):
        interview.did("zz")
    assert "done: " in interview.did("washing")[0]
    name = interview.knowledge.repairs["clear_breather"].name
    with pytest.raises(ReplyError, match=f"'breather' is too little to go by; type the whole of it: {name}"):
        interview.did("breather")
    assert len(interview.case.log) == 1


def test_a_place_that_was_seen_is_wet_or_dry(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    zone = next(zone for zone in SIX.zones.values() if zone.is_place)
    (wet,) = interview.saw(zone.name)
    (dry,) = interview.saw(f"{zone.name}: no")
    assert f"wet: {zone.name}" in wet
    assert f"dry: {zone.name}" in dry
    with pytest.raises(ReplyError, match="is a place, so it is wet or dry"):
        interview.saw(f"{zone.name}: maybe")


# -- what comes first, and what is not asked ------------------------------------------------------------------


def interviewed(folder: Path, axle: str, replies: dict[str, str], most: int | None = None) -> list[str]:
    """What is asked up to the first look past the opening, or the first ``most``; replies by its beginning, else ?."""
    interview = begun(folder, SHIPPED, Case(id="N", complaint="carrier_joint", unit="1", axle=axle))
    asked: list[str] = []
    while len(asked) < (most or LATEST):
        question = interview.question()
        asked.append(question.id)
        opens = question.check and SHIPPED.checks[question.check].ask_order is not None
        if question.kind in ("repair", "end") or (most is None and not opens and question.kind != "places"):
            break
        reply = next((said for begins, said in replies.items() if question.id.startswith(begins)), "?")
        say(interview, "y" if question.kind == "act" else reply)
    return asked


def test_danger_comes_first(tmp_path: Path) -> None:
    wet = {"wet.": "1 5 6 arc 5-7 rest dry", "brake_oiled": "no"}
    assert interviewed(tmp_path, "slate_rear", wet, most=3)[1:] == ["brake_oiled", "crack_line_seen"]


def test_a_crack_is_looked_for_first_only_where_the_metal_is_wet(tmp_path: Path) -> None:
    asked = interviewed(tmp_path, "slate_rear", {"wet.": "1 arc 5-7 rest dry"})
    assert "crack_line_seen" not in asked[:-1]


@pytest.mark.parametrize("wet", ["3 rest dry", "4 rest dry", "12 rest dry", "14 rest ?"])
def test_of_a_joint_that_is_not_the_suspect_little_is_asked_before_the_first_look(tmp_path: Path, wet: str) -> None:
    asked = interviewed(tmp_path, "onyx_single", {"wet.": wet, "arrived": "1", "level_low": "1", "level_high": "no"})
    told = [id for id in asked[:-1] if id in SHIPPED.history]
    assert len(told) <= 6
    assert not {"solvent_used", "open_time", "closing_warmth", "cleaning_tool", "guide_studs"} & set(told)


def test_after_a_comeback_it_is_not_asked_whether_it_came_back(tmp_path: Path) -> None:
    interview = begun(tmp_path, SHIPPED, Case(id="N", complaint="carrier_joint", unit="1", axle="onyx_single"))
    say(interview, "1 arc 5-7 rest dry")
    interview.did("reseal_with_sealant")
    assert "came_back" in may_be_asked(interview)
    interview.came_back("")
    assert "came_back" not in may_be_asked(interview)
    for act in ("washed", "driven", "carrier_out"):
        interview.did(act)
        assert "came_back" not in may_be_asked(interview), act


def may_be_asked(interview: Interview) -> set[str]:
    """Everything that any check may still tell, whether it would be worth asking or not."""
    agenda = Agenda(interview.diagnosis)
    return {id for check in interview.knowledge.checks for item in agenda.items(check) for id in item.ids}


# -- back and forth ---------------------------------------------------------------------------------------


def test_what_was_taken_back_is_put_back_step_by_step(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    for line in ("1 rest dry", "no", "sealant", "no"):
        say(interview, line)
    told = interview.case.standing
    steps = []
    for _ in range(4):
        steps.append(interview.case.standing)
        interview.undo()
    assert interview.case.standing == ()
    for step in reversed(steps):
        assert "stands again" in interview.put_back()[0]
        assert interview.case.standing == step
    assert interview.case.standing == told
    with pytest.raises(ReplyError, match="nothing was taken back"):
        interview.put_back()


def test_what_was_put_back_stands_where_it_stood_and_survives_a_new_start(tmp_path: Path) -> None:
    interview = begun(tmp_path)
    say(interview, "1 rest dry")
    interview.did("washed")
    said = interview.case.standing
    interview.undo(1)
    again = Interview(SIX, CaseFile.open(tmp_path / "case.yaml", SIX), "AB")
    again.put_back()
    assert again.case.standing == said
