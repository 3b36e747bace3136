"""One line: units of either system, choices by number or word, and one sentence for what cannot be."""

from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leakdx.interview.measuring.line import LENGTH, TORQUE, Choice, Line, System
from leakdx.interview.question import ReplyError
from leakdx.measured.typed import number_in
from leakdx.store.settings import Ways

GAP = Line(name="3", label="3", asked="?", read=number_in("m", "0.005 in"), units=LENGTH)
TURN = Line(name="n1", label="1", asked="?", read=number_in("N*m", "225 lb-ft"), units=TORQUE)
GRADE = Line(name="grade", label="grade", asked="?", choices=(Choice("5", "five"), Choice("8", "eight")))
WAY = Line(
    name="way", label="way", asked="?", choices=(Choice("gaps", "a straight edge"), Choice("dial", "a dial gauge"))
)
INCH: System = "inch"


@pytest.mark.parametrize(
    ("line", "text", "system", "kept"),
    [
        (GAP, "0.005", "inch", "0.005 in"),
        (GAP, "0.13", "metric", "0.13 mm"),
        (GAP, "0.13mm", "inch", "0.13 mm"),
        (GAP, " 5 thou ", "metric", "5 thou"),
        (TURN, "225", "inch", "225 lb-ft"),
        (TURN, "300 N·m", "inch", "300 N·m"),
        (GAP, "", "inch", ""),
        (WAY, "2", "inch", "dial"),
        (WAY, "a s", "inch", "gaps"),
        (WAY, "DIAL", "inch", "dial"),
        (GRADE, "8", "inch", "8"),
    ],
)
def test_what_is_kept(line: Line, text: str, system: System, kept: str) -> None:
    assert line.taken(text, system, Ways()) == kept


@pytest.mark.parametrize(
    ("line", "text", "sentence"),
    [
        (GAP, "x", "'x' is no measurement; write it as 0.005 in"),
        (GAP, "1,5", "'1,5' has a comma; write it as 1.5"),
        (GAP, "3 lb-ft", "3 lb-ft is a torque, a length is wanted; write it as 0.005 in"),
        (GAP, "-1", "'-1 in' is less than 0; give one such as 0.005 in"),
        (WAY, "3", "'3' is none of these; type 1 a straight edge, 2 a dial gauge"),
        (WAY, "a ", "'a' is none of these; type 1 a straight edge, 2 a dial gauge"),
        (GRADE, "1", "'1' is none of these; type 5, 8"),
    ],
)
def test_what_cannot_be_is_said_in_one_sentence(line: Line, text: str, sentence: str) -> None:
    with pytest.raises(ReplyError) as said:
        line.taken(text, "inch", Ways())
    assert str(said.value) == sentence


@pytest.mark.parametrize("text", ["1,5", "1,5 mm", "1,5mm"])
def test_a_shop_that_writes_commas_types_them(text: str) -> None:
    ways = Ways(numbers="comma")
    assert GAP.taken(text, "metric", ways) == "1.5 mm"


@settings(max_examples=40)
@given(st.text(max_size=30))
def test_nothing_that_is_typed_does_more_than_be_taken_or_refused(text: str) -> None:
    for line in (GAP, TURN, WAY, GRADE):
        with suppress(ReplyError):
            kept = line.taken(text, INCH, Ways())
            assert line.taken(kept, INCH, Ways()) == kept
