"""``leakdx calc flatness`` and ``leakdx calc place``: what is typed at places round the joint."""

import json
import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.calculated import called, is_answered_or_refused, is_refused
from tests.test_calc import numbers

DIAL = "flatness --dial 12=0 1:30=0.5 3=0 4:30={} 6=0 7:30=0.5 9=0 10:30=0.2 thou"
GAPS = "flatness --gaps 12=0 3={} 6=0 9=0.001 {}"
ROUND = "12=0 3=1 6=0 9=2"


def values(capsys: pytest.CaptureFixture[str], line: str) -> dict[str, object]:
    found: dict[str, object] = json.loads(called(capsys, f"{line} --json"))["values"]
    return found


@pytest.mark.parametrize(
    ("gap", "unit", "rule", "verdict"),
    [
        ("0.002", "in", "lets it pass", "within"),
        ("0.005", "in", "lets it pass", "too close to say"),
        ("0.006", "in", "stops it", "too close to say"),
        ("0.009", "in", "stops it", "beyond"),
        ("0.13", "mm", "lets it pass", "too close to say"),
        ("0.130", "mm", "stops it", "too close to say"),
        ("0.15", "mm", "stops it", "too close to say"),
    ],
)
def test_the_rule_is_kept_apart_from_what_is_likely(
    gap: str, unit: str, rule: str, verdict: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """0.005 in and 0.13 mm pass, each as finely as it was typed; doubt holds the gasket, and lifts no stop."""
    found = values(capsys, GAPS.format(gap, unit))
    assert (found["the rule for a gasket"], found["verdict"]) == (rule, verdict)
    said = called(capsys, GAPS.format(gap, unit))
    assert ("does not lift the stop" in said) == (rule == "stops it" and verdict == "too close to say")
    assert ("No gasket goes on until" in said) == (rule == "lets it pass" and verdict == "too close to say")
    assert ("Measure again so" in said or "stands at the limit" in said) == (verdict == "too close to say")


def test_heights_are_compared_as_finely_as_they_were_typed(capsys: pytest.CaptureFixture[str]) -> None:
    coarse, fine = (f"flatness --dial 12=0 3=5{end} 6=0 9=5{end} thou" for end in ("", ".1"))
    assert values(capsys, coarse)["the rule for a gasket"] == "lets it pass"
    assert values(capsys, fine)["the rule for a gasket"] == "stops it"


def test_a_gauge_makes_the_same_reading_sure_or_doubtful(capsys: pytest.CaptureFixture[str]) -> None:
    line = GAPS.format("0.0048", "in") + " --gauge {}"
    assert values(capsys, line.format("0.001in"))["verdict"] == "too close to say"
    assert values(capsys, line.format("0.1thou"))["verdict"] == "within"


def test_the_maker_has_another_limit(capsys: pytest.CaptureFixture[str]) -> None:
    line = GAPS.format("0.005", "in") + " --limit {}"
    assert values(capsys, line.format("0.003in"))["the rule for a gasket"] == "stops it"
    assert values(capsys, line.format("0.25mm"))["verdict"] == "within"


def test_an_absurd_height_is_named_and_counts(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, DIAL.format("40"))
    assert "The reading at 4:30 stands alone, 39.8 thou" in said
    assert "It counts; look there again." in said
    assert "stops it" in said
    assert "stands alone" not in called(capsys, DIAL.format("0.4"))


def test_all_places_that_are_highest_or_lowest_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    found = values(capsys, "flatness --dial 12=0 1:30=1.5 3=2 4:30=4.5 6=1 7:30=0 9=-1 10:30=0.5 thou")
    assert {"highest, at 4:30 and 10:30", "lowest, at 3 and 6"} <= set(found)


def test_a_gauge_that_sees_nothing_lets_no_gasket_on(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "flatness --face carrier --dial 12=0 1:30=1 3=2 4:30=1 6=0 7:30=1 9=2 thou --gauge 4thou")
    assert "too close to say" in said
    assert "by themselves these readings do not say it of this one" in said


def test_where_to_measure_again(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "flatness --dial 12=2.4 1:30=0 3=-2.4 4:30=0 6=2.4 7:30=0 9=-2.4 10:30=0.1 thou")
    assert "Measure again so: at 12, 3, 6 and 9, by a dial" in said


@pytest.mark.parametrize(
    ("blade", "enters", "rule"),
    [
        ("0.005in", "", "lets it pass"),
        ("0.13mm", "", "lets it pass"),
        ("0.010in", "", "cannot be asked"),
        ("0.005in", "--enters 4:30", "stops it"),
        ("0.008in", "--enters 4:30", "stops it"),
        ("0.003in", "--enters 4:30", "cannot be asked"),
    ],
)
def test_one_blade_that_enters_or_does_not(
    blade: str, enters: str, rule: str, capsys: pytest.CaptureFixture[str]
) -> None:
    line = f"flatness --blade {blade} {enters} --stays-out 12 3 6 9"
    assert values(capsys, line)["the rule for a gasket"] == rule


def test_fasteners_and_the_clock_name_the_same_places(capsys: pytest.CaptureFixture[str]) -> None:
    clock = values(capsys, "flatness --dial 12=0 3=1 6=0.5 9=2 10:30=0 thou")
    numbers = values(capsys, "flatness --dial n1=0 n5=1 n9=0.5 n13=2 n15=0 thou --count 16")
    assert [*clock.values()] == [*numbers.values()]


def test_many_places_still_make_a_map(capsys: pytest.CaptureFixture[str]) -> None:
    places = " ".join(f"{hour}:{minute:02d}={hour % 3}" for hour in range(1, 13) for minute in (0, 20, 40))
    said = called(capsys, f"flatness --dial {places} thou")
    assert "heights at 36 places" in said
    assert max(map(len, said.splitlines())) <= 120


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("flatness", "give one of --dial, --gaps and --blade"),
        (f"flatness --dial {ROUND} thou --gaps {ROUND} thou", "give one of --dial, --gaps and --blade"),
        (f"flatness --dial {ROUND} thou --enters 3", "belong to --blade"),
        (f"flatness --dial {ROUND}", "--dial, reading 1: 0 has no unit; write one behind the last reading"),
        ("flatness --dial 12=0in 3=1mm 6=0in 9=2in", "write all in one, the unit last"),
        (f"flatness --dial {ROUND} kg", "--dial, reading 1: 0 kg is a mass, a length is wanted"),
        (f"flatness --dial {ROUND} 13=1 thou", "--dial, reading 5: '13' is no place on a clock"),
        (f"flatness --dial {ROUND} n5=1 thou", "--dial, reading 5: n5 is a fastener's number; say how many"),
        (f"flatness --dial {ROUND} n17=1 thou --count 16", "--dial, reading 5: there is no fastener 17"),
        (f"flatness --dial {ROUND} 4=1..2 thou", "--dial, reading 5: a dial shows one number"),
        (f"flatness --dial {ROUND} 4=nan thou", "--dial, reading 5: '4=nan' is no place with a number"),
        (f"flatness --dial {ROUND} 4@150mm=1 thou", "--dial, reading 5: a place with a radius of its own"),
        ("flatness --dial 12=0 3=1 6=2 thou", "there are 3: three always lie in one plane"),
        ("flatness --dial 12=2 3=2 6=2 9=2 thou", "all 4 heights are the same"),
        (f"flatness --dial {ROUND} 4=2 in", "no face is so far out of flat"),
        ("flatness --dial 12@1in=0 12@2in=1 12@3in=0 12@4in=3 thou --radius 5in", "on one line or nearly so"),
        ("flatness --gaps 12=0 3=1 6=2 thou", "a straight edge is laid at four places at least"),
        ("flatness --gaps 12=0 3=-1 6=2 9=1 thou", "--gaps, reading 2: '-1 thou' is less than 0"),
        ("flatness --gaps 12=0 3=5..4 6=2 9=1 thou", "--gaps, reading 2: 5..4 goes down"),
        ("flatness --blade 0in --stays-out 12 3 6 9", "'0in' is not more than 0"),
        ("flatness --blade 5 --stays-out 12 3 6 9", "5 has no unit"),
        ("flatness --blade 5thou", "at four places at least"),
        ("flatness --blade 5thou --enters 3 --stays-out 12 3 6 9", "both enters and stays out at 3"),
        (f"flatness --gaps {ROUND} thou --gauge 0in", "error is 0"),
        (f"flatness --gaps {ROUND} thou --first 25 --count 12", "argument --first: '25' is no place on a clock"),
        (f"flatness --gaps {ROUND} thou --count 2", "the count of fasteners is 2"),
        ("place --wet 3", "give what the wet place is held against"),
        ("place --wet 3 --weak 5", "need the count of fasteners"),
        ("place --wet 3 --weak 17 --count 16", "there is no fastener 17; the joint has 1 to 16"),
        ("place --wet 3 --weak 0 --count 16", "there is no fastener 0"),
        ("place --wet 13..2 --weld 4", "'13' is no place on a clock"),
        ("place --wet 1..2..3 --weld 4", "no place on a clock"),
        ("place --wet 3 --torques 1 2 3 lb-ft --count 4", "--torques: 3 readings for 4 fasteners"),
        ("place --wet 3 --torques 1 2 3 4 mm --count 4", "a torque is wanted"),
        ("place --wet 3 --torques 5 5 5 5 5 lb-ft --count 5", "all readings are the same"),
        ("place --wet n3 --weld 4", "n3 is a fastener's number"),
        (f"place --wet 3 --count 60 --weak {' '.join(map(str, range(1, 31)))}", "too many to count one by one"),
    ],
)
def test_what_cannot_be_is_one_sentence(line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    is_refused(capsys, line, said)


WEAK = "place --wet 3:30..5 --count 16 --weak 5 6 7"
TORQUES = "225 220 230 180 90 80 140 215 225 228 222 219 224 226 221 223 lb-ft"


def test_neighbours_count_as_one_group(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, WEAK)
    assert "Weak fasteners: perhaps with the wet place; chance alone brings the two so near one time in 8." in said
    assert "counted as one group" in said
    assert re.search(r"~ +X6", said), "the weak fastener beside the wet arc"


def test_scattered_ones_are_counted_each_by_itself(capsys: pytest.CaptureFixture[str]) -> None:
    found = values(capsys, "place --wet 2..4 --count 12 --weak 3 4 9")
    each, turned = (found[f"chance to be so near, {how}"]["value"] for how in (  # type: ignore[index]
        "each by itself", "turned as one group"))  # fmt: skip
    assert each > turned
    assert found["of them in the wet place"] == "2 of 3"


def test_both_systems_of_units_say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    line = "place --wet 3:30..5 --count 5 --weak 2 3 --weld 4 --torques {}"
    inch = called(capsys, line.format("225 220 90 180 200 lb-ft"))
    assert inch == called(capsys, line.format("305.059 298.280 122.024 244.047 271.164 N*m"))


def test_torque_that_falls_towards_the_wet_place(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, f"place --wet n5..n7 --count 16 --torques {TORQUES}")
    assert "torque's low place, 3:30" in said
    assert "in the wet place" in said
    even = " ".join(["225 220"] * 8)
    assert "follow no wave" in called(capsys, f"place --wet n5..n7 --count 16 --torques {even} lb-ft")


def test_a_weld_beside_and_a_low_place_across(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "place --wet 12:30 --weld 12:30 --low 6..7")
    assert "Weld: with the wet place" in said
    assert "Low place: no sign that it stands with the wet place" in said
    assert "more often than not" in said


def test_most_of_a_ring_is_no_place(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "place --wet 3 --count 8 --weak 1 2 3 4 5 6")
    assert "Most of the ring is weak" in said


LINES = (
    WEAK,
    f"place --wet n5..n7 --count 16 --torques {TORQUES}",
    "place --wet 3:30..5 --weld 4 --low 4:30..6",
    "flatness --dial 12=0 3=1 6=0.5 9=2 10:30=0 thou --count 16 --radius 7in",
    "flatness --gaps 12=0 3=1 6=0.5 9=2..3 thou",
    "flatness --blade 5thou --enters 3 --stays-out 12 6 9",
)
HOSTILE = (
    "4:30=1e99", "=", "4=", "=4", "n99=1", "4=5=6", "12=nan", "4@0mm=1", "4@1e9mm=1", "n=1", "n5", "4..5=1", "4=1..1e9",
    "4=1e-99", "0:00=1", "12:60=1", "4=1thou", "4=-1", "thou", "", "x=1", "4@=1", "@5mm=1", "4=\x1b[2J",
    "n" * 200 + "=1", "4=" + "9" * 300, "²=1", "4=1..", "furlong", "mm^9", "1e3in",
    "3..", "..3", "n3..n99", "3..3", "99999", "-5", "60",
)  # fmt: skip


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(line=st.sampled_from(LINES), data=st.data())
def test_whatever_is_typed_there_is_an_answer_or_a_sentence(
    line: str, data: st.DataObject, capsys: pytest.CaptureFixture[str]
) -> None:
    is_answered_or_refused(capsys, line, HOSTILE, data)


def test_an_axle_family_gives_what_is_not_typed(capsys: pytest.CaptureFixture[str]) -> None:
    clamped, slipping = (
        "--preload 96kN --face-width 20mm --seal gasket",
        "--preload 96kN --engine 1850lb-ft --gear 14 --ratio 3",
    )
    for family, typed in (
        ("order", "--count 16 --torque 225lb-ft"),
        (f"clamp {clamped}", "--count 16 --radius 7.1in --carrier 0.71in"),
        (f"slip {slipping}", "--count 16 --radius 7.1in"),
        ("fasteners --grade 8", "5/8-11 --torque 225lb-ft --count 16"),
        ("flatness --dial n1=0 n5=1 n9=0 n13=6 thou", "--count 16 --limit 0.005in"),
        ("place --wet 4..5 --weak 5 6", "--count 16"),
    ):
        one, other = (called(capsys, f"{family} {rest} --json") for rest in ("--axle onyx_single", typed))
        assert numbers(json.loads(one)) == pytest.approx(numbers(json.loads(other)), rel=1e-5), family
    assert values(capsys, f"clamp {clamped} --axle onyx_single --high 16in --wide 13in --lost 7 8")


@settings(deadline=None, max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.integers(-60, 60), min_size=4, max_size=12).filter(lambda tenths: len({*tenths}) > 1))
def test_a_face_is_judged_alike_in_either_system(capsys: pytest.CaptureFixture[str], tenths: list[int]) -> None:
    """Heights in tenths of a thou, which are 2.54 micrometres each."""
    lines = (
        [f"n{n}={scale * height:.{digits}f}" for n, height in enumerate(tenths, 1)]
        for scale, digits in ((0.1, 1), (2.54, 2))
    )
    ends = (f"{unit} --count {len(tenths)} --gauge 0.001in" for unit in ("thou", "um"))
    one, other = (
        values(capsys, f"flatness --dial {' '.join(line)} {end}") for line, end in zip(lines, ends, strict=True)
    )
    assert one["verdict"] == other["verdict"]
    assert one["minimum zone"] == pytest.approx(other["minimum zone"], abs=1e-9)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("order --count 15 --axle onyx_single", "15 fasteners do not fit Onyx single drive axle, which has 16"),
        ("order --axle onyks", "there is no axle family 'onyks'; known are onyx_single"),
        ("order --axle slate_forward --count 9", "9 fasteners do not fit"),
        ("clamp --count 16 --radius 180mm --preload 96kN --face-width 20mm --seal gasket", "give --carrier"),
        ("fasteners --grade 8", "give the thread, such as 5/8-11"),
        ("fasteners 5/8-11 --grade 8", "give --torque that was ordered"),
        ("fasteners --grade 8 --axle onyx_single --audit 225 lb-ft", "--audit has 1 readings for 16 fasteners"),
        ("slip --preload 96kN --engine 1850lb-ft --gear 14 --ratio 3", "give --radius of a round joint"),
        ("flatness --dial 12=0 3@9m=1 6=0 9=0 thou --radius 7in", "the radius is 9000 mm (354.3 in)"),
        ("flatness --dial 12=0 3=1 6=0 9=0 thou --high 16in", "--high and --wide of an oblong one"),
        ("flatness --dial 12=0 3=1 6=0 9=0 thou --radius 9m", "the joint's radius is 9000 mm (354.3 in)"),
    ],
)  # fmt: skip
def test_what_does_not_fit_the_joint_is_one_sentence(line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    is_refused(capsys, line, said)


def test_a_side_that_was_not_read_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "flatness --dial 9=0 10:30=1 12=0 1:30=1 3=0 thou")
    assert "Nothing was read from 3 to 9, clockwise" in said
    assert "Nothing was read" not in called(capsys, "flatness --dial 12=0 3=1 6=0 9=2 thou")
