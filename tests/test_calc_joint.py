"""Faces, clamp, order and places from the command line, as a person types them."""

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from leakdx.cli import main
from leakdx.errors import ExitCode
from tests.test_calc import called, numbers

TYPED = {
    "flatness": (
        "flatness 12=0 1:30=.001 3=.002 4:30=.0045 6=.0035 7:30=.002 9=.001 10:30=0 in --gauge .0005in",
        "flatness 12=0 1:30=.0254 3=.0508 4:30=.1143 6=.0889 7:30=.0508 9=.0254 10:30=0 mm --gauge .0127mm",
    ),
    "flatness by fastener": (
        "flatness f1=0 f4@6.5in=5 f7=0 f10=5 f11=1 thou --count 12 --first 1:30 --width 16in "
        "--height 13in --gauge 1thou",
        "flatness f1=0 f4@165.1mm=127 f7=0 f10=127 f11=25.4 um --count 12 --first 1:30 --width 406.4mm "
        "--height 330.2mm --gauge 25.4um",
    ),
    "gaps": (
        "flatness --gaps 12=.001..0.002 3=.000 6=.004..0.006 9=.002 in",
        "flatness --gaps 12=.0254..0.0508 3=.000 6=.1016..0.1524 9=.0508 mm",
    ),
    "go": (
        "flatness --gaps 12=no 3=no 6=go 9=no --feeler 0.005in",
        "flatness --gaps 12=no 3=no 6=go 9=no --feeler 0.127mm",
    ),
    "clamp": (
        "clamp --count 16 --radius 7.0866in --flange 0.8in --thickness 0.7in --preload 14000..29200lbf "
        "--kept 100 100 60 100 100 100 0 100 100 100 100 100 100 100 100 100",
        "clamp --count 16 --radius 180mm --flange 20.32mm --thickness 17.78mm --preload 62.275..129.888kN "
        "--kept 100 100 60 100 100 100 100 100 100 100 100 100 100 100 100 100 --lost 7",
    ),
    "oblong clamp": (
        "clamp --count 12 --width 16.5in --height 13.4in --flange 0.8in --thickness 0.7in --preload 21600lbf "
        "--bed 368400lbf/in^3 --lost 3 4",
        "clamp --count 12 --width 419.1mm --height 340.36mm --flange 20.32mm --thickness 17.78mm --preload 96.082kN "
        "--bed 100N/mm^3 --lost 3 4",
    ),
    "weld there": ("place --wet 11..1 --weld 12", "place --wet 11..1 --weld 12"),
    "order": ("order 16 --torque 225lb-ft --dowels 4 12", "order 16 --torque 305.059N*m --dowels 4 12"),
    "place": (
        "place --wet 4..7 --count 16 --weak 6 7 8 --weld 8..9 --heights 0 1 0 -2 -6 -5 -1 0 thou",
        "place --wet 4..7 --count 16 --weak 6 7 8 --weld 8..9 --heights 0 25.4 0 -50.8 -152.4 -127 -25.4 0 um",
    ),
}

DRAWN = ("flatness", "flatness by fastener", "gaps", "go", "clamp", "oblong clamp", "order", "place", "weld there")
FACE = "12=0 3=.001 6=.004 9=.002"


@pytest.mark.parametrize(("inch", "metric"), TYPED.values(), ids=TYPED)
def test_both_systems_of_units_come_to_the_same(inch: str, metric: str, capsys: pytest.CaptureFixture[str]) -> None:
    one, other = (json.loads(called(capsys, f"{line} --json")) for line in (inch, metric))
    assert numbers(one)
    assert numbers(one) == pytest.approx(numbers(other), rel=0.01, abs=1e-4)
    assert one["words"] == other["words"]
    texts = [[v for v in each["values"].values() if isinstance(v, str)] for each in (one, other)]
    assert [text.replace("@165.1mm", "@6.5in") for text in texts[1]] == texts[0]


@pytest.mark.parametrize("name", TYPED)
def test_an_answer_fits_a_terminal_and_shows_both_systems_or_one(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, TYPED[name][0])
    assert max(map(len, said.splitlines())) <= 120
    assert " MPa" not in called(capsys, f"{TYPED[name][0]} --units inch")


@settings(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.integers(-60, 60), min_size=4, max_size=12))
def test_a_face_is_judged_alike_in_either_system(capsys: pytest.CaptureFixture[str], tenths: list[int]) -> None:
    """Heights in tenths of a thou, which are 2.54 micrometres each."""
    lines = (
        [f"f{n}={scale * height:.{digits}f}" for n, height in enumerate(tenths, 1)]
        for scale, digits in ((0.1, 1), (2.54, 2))
    )
    ends = (f"{unit} --count {len(tenths)} --gauge 0.001in --json" for unit in ("thou", "um"))
    one, other = (
        json.loads(called(capsys, f"flatness {' '.join(line)} {end}")) for line, end in zip(lines, ends, strict=True)
    )
    assert one["verdict"] == other["verdict"]
    assert numbers(one) == pytest.approx(numbers(other), abs=1e-9)


@pytest.mark.parametrize("name", DRAWN)
def test_a_picture_says_what_it_shows(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "picture.svg"
    called(capsys, f"{TYPED[name][1]} --svg {out}")
    drawn = ElementTree.fromstring(out.read_text(encoding="utf-8"))
    words = [text.text for text in drawn.iter("{http://www.w3.org/2000/svg}text")]
    assert len(words) > 5
    assert drawn.find("{http://www.w3.org/2000/svg}rect") is not None, (
        "a sheet of its own, so that a dark page shows it"
    )


def test_near_the_limit_the_gauge_decides(capsys: pytest.CaptureFixture[str]) -> None:
    near = "flatness 12=.0048 3=0 6=.0048 9=0 in"
    coarse = called(capsys, f"{near} --gauge 0.001in")
    assert "too close to say" in coarse
    assert "36.5%" in coarse
    assert "with a gauge 4.75 times as fine" in coarse
    assert "too close" not in called(capsys, f"{near} --gauge 0.0001in")


def test_the_rule_reads_as_finely_as_was_typed(capsys: pytest.CaptureFixture[str]) -> None:
    at, over, fine = (
        json.loads(called(capsys, f"flatness 12={high} 3=0 6={high} 9=0 {unit} --gauge {gauge} --json"))
        for high, unit, gauge in ((".005", "in", "0.0005in"), ("0.14", "mm", "0.005mm"), (".0051", "in", "0.001in"))
    )
    assert (at["rule"], at["verdict"]) == ("passes", "too close to say")
    assert (over["rule"], over["verdict"]) == ("stops", "beyond the limit")
    assert (fine["rule"], fine["verdict"]) == ("stops", "too close to say")
    assert any("a doubt does not lift that" in said for said in fine["words"])


def test_a_feeler_of_the_limit_decides(capsys: pytest.CaptureFixture[str]) -> None:
    assert "stops a gasket" in called(capsys, "flatness --gaps 12=no 3=go --feeler .005in")
    assert "passes" in called(capsys, "flatness --gaps 12=no 3=no --feeler .005in")
    assert "measured again" in called(capsys, "flatness --gaps 12=go 3=no --feeler .003in")
    assert "passes" in called(capsys, "flatness --gaps 12=.004..0.005 3=0.13 6=.12 mm --limit 0.127mm")
    assert "stops a gasket" in called(capsys, "flatness --gaps 12=.005..0.006 3=0 6=0 in")


def test_an_absurd_reading_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "flatness 12=0 1=.4 2=-.3 3=.2 4=40 5=-.4 6=.1 7=.3 8=-.2 9=.3 10=0 11=-.1 thou")
    assert "The reading at 4 does not go with the others" in said


def test_a_side_that_was_not_read_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "flatness 9=0 10:30=1 12=0 1:30=1 3=0 thou")
    assert "none stands between 3 o'clock and 9 o'clock" in said


def test_the_flange_map_shows_lost_fasteners_and_parted_faces(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, TYPED["clamp"][0])
    assert "<7>" in said
    assert "[3]" in said
    assert "(16)" in said


def test_the_order_puts_dowels_first_in_growing_passes(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, TYPED["order"][0])
    assert "4 12 | 8 16" in said
    assert "67.5 lbf·ft  91.5 N·m" in said
    assert json.loads(called(capsys, "order 12 --json"))["order"] == [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]


def test_where_neighbours_fail_together_the_turned_pattern_counts(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "place --wet 4..7 --count 16 --weak 6 7 8")
    assert "1.79%" in said
    assert "18.8%" in said
    assert "then the turned pattern's chance counts" in said


BOLTS = "--flange 20mm --thickness 18mm --preload 96kN"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("flatness 12=0 3=1 6=0 thou", "3 readings are too few for flatness"),
        (f"flatness {FACE}", "the readings have no unit"),
        ("flatness 12=0in 3=.1mm 6=0in 9=0in", "the readings have in and mm; give all of them in one unit"),
        ("flatness 12=0in 3=.1 6=0in 9=0in", "the reading at 3 has no unit and others have"),
        (f"flatness {FACE} psi", "is a pressure, a length is wanted"),
        (f"flatness {FACE} furlongg", "reading at 12: 'furlongg' is not a known unit"),
        ("flatness 12=0 3=x 6=0 9=0 in", "'3=x' is no reading"),
        ("flatness 12=0 3=nan 6=0 9=0 in", "'3=nan' is no reading"),
        ("flatness 12=0 3 6=0 9=0 in", "'3' is no reading"),
        ("flatness 12=0 13=1 6=0 9=0 thou", "'13' is no clock position"),
        ("flatness 12=0 left=1 6=0 9=0 thou", "'left' is no place"),
        ("flatness 12=0 f3=1 6=0 9=0 thou", "say with --count"),
        ("flatness 12=0 f13=1 6=0 9=0 thou --count 12", "there is no fastener 13; they run from 1 to 12"),
        ("flatness 12=0 3=1 3=2 9=0 thou", "3 is read twice"),
        ("flatness 12=0 3@9m=1 6=0 9=0 thou", "the distance of 3@9m from the middle"),
        ("flatness 12=0 3@kg=1 6=0 9=0 thou", "the radius in 3@kg"),
        ("flatness 12=0 3=4 6=0 9=0 in", "the reading at 3 in m is 0.1016"),
        (f"flatness {FACE} in --limit 0in", "the limit is 0"),
        (f"flatness {FACE} in --gauge=-1mm", "is less than 0"),
        (f"flatness {FACE} in --width 400mm", "has --width and --height"),
        (f"flatness {FACE} in --first 13", "--first: '13' is no clock position"),
        ("flatness 12=go 3=no 6=no 9=no --feeler 5thou", "gaps by feeler are read with --gaps"),
        ("flatness --gaps 12=go 3=no", "give --feeler"),
        ("flatness --gaps 12=-1 3=0 thou", "a gap is not less than 0"),
        ("flatness --gaps 12=5..4 3=0 thou", "the feeler that goes in first"),
        (f"clamp --count 2 --radius 180mm {BOLTS}", "the count of fasteners is 2"),
        (f"clamp --count 8 --radius 180mm {BOLTS} --kept 100 90", "--kept has 2 values for 8 fasteners"),
        (f"clamp --count 8 --radius 180mm {BOLTS} --lost 9", "--lost 9: there is no such fastener"),
        (f"clamp --count 3 --radius 180mm {BOLTS} --lost 1 2 3", "every fastener is lost"),
        (f"clamp --count 8 --radius 180mm {BOLTS} --bed 100MPa", "is a pressure"),
        (f"clamp --count 8 --width 1m --height 100mm {BOLTS}", "width over height"),
        ("clamp --count 8 --flange 2m --thickness 18mm --preload 96kN", "the flange's width in m is 2"),
        ("order 2", "the count of fasteners is 2"),
        ("order", "the count of fasteners is not given"),
        ("order 15 --axle onyx_single", "15 fasteners do not fit Onyx single drive axle, which has 16"),
        ("order --axle onyks", "there is no axle family 'onyks'; known are onyx_single"),
        ("order 16 --knowledge x", "--knowledge is for --axle"),
        (f"clamp --radius 180mm {BOLTS}", "the count of fasteners is not given"),
        ("order 16 --torque 225kg", "225 kg is a mass, a torque is wanted"),
        ("order 16 --torque 0N*m", "the torque is 0"),
        ("order 16 --dowels 17", "a dowel's place is 17"),
        ("order 16 --dowels 4 4", "dowel place 4 is given twice"),
        ("order 16 --begin 0", "the first fastener is 0"),
        ("place --wet 4..7", "there is nothing to hold the wet part against"),
        ("place --wet 4..17 --weld 3", "'17' is no clock position"),
        ("place --wet 4..7 --weak 3", "the count of fasteners is not given"),
        ("place --wet 4..7 --count 12 --weak 3 3", "place 3 is given twice"),
        ("place --wet 4..7 --count 3 --weak 1 2 3", "name some, not all"),
        ("place --wet 4..7 --count 40 --weak 1 2 3 4 5 6 7 8 9 10", "more than can be counted"),
        ("place --wet 4..4:10 --heights 0 1 2 3 4 thou", "holds none or all of the places"),
        ("place --wet 4..7 --heights 0 1 2 3 4", "--heights, reading 1: 0 has no unit"),
    ],
)
def test_what_cannot_be_is_one_sentence(line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calc", *line.split()]) == ExitCode.USAGE
    answer = capsys.readouterr()
    assert answer.out == ""
    assert said in answer.err
    assert len(answer.err.strip().splitlines()) == 1
    assert "should not happen" not in answer.err


def test_an_axle_family_gives_what_is_not_typed(capsys: pytest.CaptureFixture[str]) -> None:
    typed, family = (called(capsys, f"order {what} --json") for what in ("16 --torque 225lb-ft", "--axle onyx_single"))
    assert typed == family
    typed, family = (
        called(capsys, f"clamp {BOLTS} {what} --json") for what in ("--count 16 --radius 7.1in", "--axle onyx_single")
    )
    assert numbers(json.loads(typed)) == pytest.approx(numbers(json.loads(family)))
    assert "between 7 and 8" in called(
        capsys, f"clamp {BOLTS} --axle onyx_single --width 16in --height 13in --lost 7 8"
    )
