"""What a typed line means as an answer, and what cannot be taken."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from leakdx.case import CANNOT_REACH, UNSURE
from leakdx.interview.question import Option, Question, Reply, ReplyError
from leakdx.interview.understand import understand

PLACES = Question(
    kind="places",
    id="wet.joint",
    text="Where is it wet?",
    options=(
        Option("joint", "carrier-to-housing joint", ("banjo joint",)),
        Option("pinion_seal", "pinion seal"),
        Option("wheel_seal", "wheel seal"),
        Option("breather", "breather"),
    ),
)
LOOK = Question(
    kind="sign",
    id="torque",
    text="Torque?",
    options=(Option("even", "even all round"), Option("one_low", "one low"), Option("all_low", "all low")),
)
PLAIN = Question(kind="sign", id="hiss", text="Hiss?", options=(Option("yes", "yes"), Option("no", "no")))
TOLD = Question(
    kind="history",
    id="sealing",
    text="Sealed with?",
    options=(Option("sealant", "sealant"), Option("gasket", "gasket")),
)
FLATNESS = Question(kind="reading", id="flatness", text="Flatness?", unit="in")
ACT = Question(kind="act", id="washed", text="Washed?", options=(Option("yes", "done"), Option("no", "not done")))
REPAIR = Question(kind="repair", id="repair", text="Done?", options=(Option("a", "first"), Option("b", "second")))


@pytest.mark.parametrize(
    ("line", "reply"),
    [
        ("1 3 arc 5-7", Reply(wet=("joint", "wheel_seal"), arc=(5.0, 7.0))),
        ("1, 3", Reply(wet=("joint", "wheel_seal"))),
        ("1 wet", Reply(wet=("joint",))),
        ("rest ?", Reply(answer=UNSURE)),
        ("others can't reach", Reply(answer=CANNOT_REACH)),
        ("1 rest dry", Reply(wet=("joint",), dry=("pinion_seal", "wheel_seal", "breather"))),
        ("1 others dry ~", Reply(wet=("joint",), dry=("pinion_seal", "wheel_seal", "breather"), sure="fairly")),
        ("1 arc 11.5 to 1 dry 2~", Reply(wet=("joint",), dry=("pinion_seal",), arc=(11.5, 1.0), sure="fairly")),
        ("1 arc 6 rest ?", Reply(wet=("joint",), rest="unsure", arc=(6.0, 6.0))),
        ("1 rest x dry 2", Reply(wet=("joint",), dry=("pinion_seal",), rest="can't reach")),
        ("dry 2", Reply(dry=("pinion_seal",))),
        ("dry 2 wet 1", Reply(wet=("joint",), dry=("pinion_seal",))),
        ("none", Reply(dry=("joint", "pinion_seal", "wheel_seal", "breather"))),
        ("banjo joint pinion dry Wheel Seal", Reply(wet=("joint", "pinion_seal"), dry=("wheel_seal",))),
        ("?", Reply(answer="unsure")),
        ("x", Reply(answer="can't reach")),
    ],
)  # fmt: skip
def test_places(line: str, reply: Reply) -> None:
    assert understand(PLACES, line) == reply


def test_a_place_keeps_its_number_and_one_that_only_collects_oil_is_never_the_rest() -> None:
    floor = Option("floor", "on the floor", number=9, by_name_only=True)
    left = structs.replace(
        PLACES, options=(*(structs.replace(o, number=n) for n, o in enumerate(PLACES.options, 3)), floor)
    )
    assert understand(left, "3") == Reply(wet=("joint",))
    assert understand(left, "3 rest dry") == Reply(
        wet=("joint",), dry=("pinion_seal", "wheel_seal", "breather"), rest="unsure"
    )
    assert understand(left, "9 rest dry").wet == ("floor",)
    assert "floor" in understand(left, "none").dry
    with pytest.raises(ReplyError, match="no number 1 here; type one of 3, 4, 5, 6, 9"):
        understand(left, "1")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("9", "no number 9"),
        ("0", "no number 0"),
        ("1 1", "named twice"),
        ("1 dry 1", "named twice"),
        ("seal", "none of the answers"),
        ("pinoin_seal", "did you mean pinion_seal?"),
        ("1 arc 5-17", "from 0 to 12"),
        ("1 arc", "two clock positions"),
        ("1 arc 6 3", "type arc 6-3, or the arc last"),
        ("arc 5-7", "name the wet places"),
        ("none arc 5-7", "goes with a wet place"),
        ("wet", "name the wet places"),
        ("1 2 3 dry", "stands last"),
        ("2 dry 1 wet", "stands last"),
    ],
)
def test_places_that_cannot_be(line: str, says: str) -> None:
    with pytest.raises(ReplyError) as caught:
        understand(PLACES, line)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("question", "line", "reply"),
    [
        (LOOK, "2", Reply(answer="one_low")),
        (LOOK, "2~", Reply(answer="one_low", sure="fairly")),
        (LOOK, "One low ~", Reply(answer="one_low", sure="fairly")),
        (LOOK, "all", Reply(answer="all_low")),
        (LOOK, "n", Reply(answer="not fitted")),
        (LOOK, "?", Reply(answer="unsure")),
        (PLAIN, "y", Reply(answer="yes")),
        (PLAIN, "no~", Reply(answer="no", sure="fairly")),
        (PLAIN, "yes arc 6-9", Reply(answer="yes", arc=(6.0, 9.0))),
        (PLAIN, "nf", Reply(answer="not fitted")),
        (TOLD, "gasket", Reply(answer="gasket")),
        (TOLD, "1", Reply(answer="sealant")),
        (FLATNESS, "0.006", Reply(value="0.006", unit="in")),
        (FLATNESS, "0.13 mm", Reply(value="0.13", unit="mm")),
        (FLATNESS, "0.13mm with feeler 12", Reply(value="0.13", unit="mm", tool="feeler 12")),
        (FLATNESS, "x", Reply(answer="can't reach")),
        (ACT, "y", Reply(answer="yes")),
        (ACT, "n", Reply(answer="no")),
        (REPAIR, "1 2", Reply(done=("a", "b"))),
        (REPAIR, "second", Reply(done=("b",))),
    ],
)
def test_one_answer(question: Question, line: str, reply: Reply) -> None:
    assert understand(question, line) == reply


@pytest.mark.parametrize(
    ("question", "line", "says"),
    [
        (PLAIN, "n", "no or not fitted"),
        (PLAIN, "maybe", "none of the answers"),
        (LOOK, "low", "none of the answers"),
        (LOOK, "4", "from 1 to 3"),
        (TOLD, "gasket~", "not what was told"),
        (TOLD, "x", "type ? where nobody knows"),
        (TOLD, "can't reach", "nothing has to be reached"),
        (TOLD, "gaskt", "did you mean gasket?"),
        (FLATNESS, "0.006 in in in", "value and its unit"),
        (FLATNESS, "0.006~", "measure again"),
        (ACT, "perhaps", "y when it is done"),
        (REPAIR, "3", "from 1 to 2"),
        (REPAIR, "000001999", "there is no number 1999 here"),
        (REPAIR, "1" * 5000, "from 1 to 2"),
        (REPAIR, "0" * 5000, "there is no number 0 here"),
        (REPAIR, "?", "until some of it is done"),
        (Question(kind="end", id="", text="That is all."), "1", "nothing is asked here"),
    ],
)
def test_what_cannot_be_taken_is_said_in_one_sentence(question: Question, line: str, says: str) -> None:
    with pytest.raises(ReplyError) as caught:
        understand(question, line)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


@given(st.sampled_from([PLACES, LOOK, PLAIN, TOLD, FLATNESS, ACT, REPAIR]), st.text(min_size=1))
def test_any_line_is_an_answer_or_a_sentence(question: Question, line: str) -> None:
    try:
        reply = understand(question, line)
    except ReplyError as error:
        assert str(error)  # noqa: PT017 - either outcome is right, and each says something
    else:
        assert reply != Reply()
