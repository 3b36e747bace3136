"""Calculations of the joint's mechanics from the command line, as a person types them."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from leakdx.cli import main
from leakdx.errors import ExitCode

RING = "225 230 90 0 110 220 222 185 lb-ft"
METRIC_RING = "305.059 311.838 122.024 0 149.140 298.280 300.992 250.826 N*m"

TYPED = {
    "fasteners": ("fasteners 5/8-11 --grade 8 --torque 225lb-ft", "fasteners 5/8-11 --grade 8 --torque 305.059N*m"),
    "audit": (
        f"fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit {RING}",
        f"fasteners 5/8-11 --grade 8 --torque 305.059N*m --audit {METRIC_RING}",
    ),
    "slip": (
        "slip --count 16 --radius 7.0866in --preload 14000..29200lbf --engine 1850lb-ft --gear 14.4 --ratio 3.7 "
        "--load 20000lbf --tyre 19.685in --lost 3 --dowels 4 --dowel 0.62992in",
        "slip --count 16 --radius 180mm --preload 62.275..129.888kN --engine 2508.26N*m --gear 14.4 --ratio 3.7 "
        "--load 88.9644kN --tyre 500mm --lost 3 --dowels 4 --dowel 16mm",
    ),
    "oblong": (
        "slip --radii 7.874 7.0866 7.874 7.0866 7.874 7.0866 in --kept 100 90 80 0 100 100 --preload 20000..24000lbf "
        "--engine 1850lb-ft --gear 14.4 --ratio 3.7",
        "slip --radii 200 180 200 180 200 180 mm --kept 100 90 80 0 100 100 --preload 88.964..106.757kN "
        "--engine 2508.26N*m --gear 14.4 --ratio 3.7",
    ),
    "weld": (
        "weld --process gmaw --volts 25 --amperes 220 --speed 14.1732in/min --wall 0.393701in --distance 0.59055in "
        "--start 68degF",
        "weld --process gmaw --volts 25 --amperes 220 --speed 6mm/s --wall 10mm --distance 15mm --start 20degC",
    ),
    "leak": (
        "leak --topped 0.528344qt --in 40h --speed 40mph --drops-too 3 --counted 10min --arc 1.9685in --at 68degF",
        "leak --topped 0.5L --in 40h --speed 64.37376km/h --drops-too 3 --counted 600s --arc 50mm --at 20degC",
    ),
    "stain": ("leak --stain 31in^2 --on card --in 12h", "leak --stain 200cm^2 --on card --in 12h"),
    "fall": ("leak --fall 0.3937in --in 3day", "leak --fall 10mm --in 72h"),
    "breather": (
        "breather --cold 50degF --hot 194degF --oil-volume 15.850qt --air 10.5669qt --oil 85W-140",
        "breather --cold 10degC --hot 90degC --oil-volume 15L --air 10L --oil 85W-140",
    ),
    "cure": (
        "cure --flange 0.708661in --time 4h --air 50degF --humidity 40",
        "cure --flange 18mm --time 240min --air 10degC --humidity 40",
    ),
    "level": (
        "level --radius 7.0866in --ahead 4.7244in --oil 2.3622in --grade -6",
        "level --radius 180mm --ahead 120mm --oil 60mm --grade -6",
    ),
}


def called(capsys: pytest.CaptureFixture[str], line: str) -> str:
    """What ``leakdx calc`` prints."""
    assert main(["calc", *line.split()]) == ExitCode.OK
    return capsys.readouterr().out


def numbers(value: Any) -> list[float]:
    """Every number of an answer, in order."""
    if isinstance(value, dict):
        return [each for inner in value.values() for each in numbers(inner)]
    if isinstance(value, list):
        return [each for inner in value for each in numbers(inner)]
    return [value] if isinstance(value, int | float) else []


@pytest.mark.parametrize(("inch", "metric"), TYPED.values(), ids=TYPED)
def test_both_systems_of_units_come_to_the_same(inch: str, metric: str, capsys: pytest.CaptureFixture[str]) -> None:
    one, other = (json.loads(called(capsys, f"{line} --json")) for line in (inch, metric))
    assert numbers(one)
    assert numbers(one) == pytest.approx(numbers(other), rel=0.01, abs=1e-4)
    assert one["words"] == other["words"]


@pytest.mark.parametrize("line", [line for both in TYPED.values() for line in both])
def test_the_text_shows_both_systems_or_the_one_asked_for(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    both, inch, metric = (called(capsys, f"{line} --units {units}") for units in ("both", "inch", "metric"))
    assert inch != metric
    assert both.splitlines()[-1] == inch.splitlines()[-1] == metric.splitlines()[-1]
    assert "\x1b" not in both
    assert "nan" not in both.lower()


def test_a_torque_as_a_person_reads_it(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "fasteners 5/8-11 --grade 8 --torque 225lb-ft")
    assert "5/8-11, SAE J429 grade 8" in said
    assert "21600 (14000 to 29200) lbf" in said
    assert "96.1 (62.5 to 130) kN" in said


def test_an_audit_names_who_lost_clamp_and_who_is_open(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, TYPED["audit"][0])
    assert "Lost clamp, side by side: 3 4 5." in said
    assert "Too close to say: 8" in said
    assert "turns freely" in said


def test_the_table_of_an_audit_is_in_the_units_that_it_was_typed_in(capsys: pytest.CaptureFixture[str]) -> None:
    inch, metric = TYPED["audit"]
    assert "  3  90 lbf·ft  " in called(capsys, inch)
    assert "  3  122 N·m  " in called(capsys, metric)
    assert "  3  122 N·m  " in called(capsys, f"{inch} --units metric")


def test_too_much_torque_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "fasteners 5/8-11 --grade 8 --torque 225lb-ft --turning anti_seize")
    assert "Too much" in said


def test_a_faster_axle_takes_from_the_margin(capsys: pytest.CaptureFixture[str]) -> None:
    line = "slip --count 16 --radius 180mm --preload 90kN --engine 2500N*m --gear 14 --load 98kN --ratio {} --json"
    slow, fast = (json.loads(called(capsys, line.format(ratio))) for ratio in (3.7, 2.5))
    margins = [each["values"]["twist: margin"]["value"]["likely"] for each in (slow, fast)]
    assert margins[0] / margins[1] == pytest.approx(3.7 / 2.5)


def test_a_near_weld_harms_sealant_and_a_far_one_does_not(capsys: pytest.CaptureFixture[str]) -> None:
    line = "weld --process gmaw --volts 25 --amperes 220 --speed 6mm/s --wall 10mm --distance {}"
    assert "is harmed, almost surely" in called(capsys, line.format("5mm"))
    assert "is hardly harmed" in called(capsys, line.format("60mm"))


def test_a_leak_that_runs_on_the_road_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert "faster on the road" in called(capsys, TYPED["leak"][1])


def test_how_wet_it_is_needs_no_count(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "leak --seen hangs")
    assert "a drop forms and hangs" in said
    assert "look at the level more often" in said
    assert "396.5" not in called(capsys, "leak --seen dry")


def test_an_oil_by_its_sheet_and_an_oil_too_cold(capsys: pytest.CaptureFixture[str]) -> None:
    line = "leak --drops 5 --in 10min --arc 50mm"
    assert "oil of grade 90 at 20 °C" in called(capsys, f"{line} --sheet 150 15")
    assert "not made to flow below -12 °C" in called(capsys, f"{line} --oil 85W-140 --at=-20degC")
    assert "not made to flow" not in called(capsys, f"{line} --oil 75W-90 --at=-20degC")


def test_adhesive_is_reckoned_with(capsys: pytest.CaptureFixture[str]) -> None:
    line = f"fasteners 5/8-11 --grade 8 --torque 225lb-ft --turning adhesive --audit {RING}"
    assert "give what it may hold with --bond" in called(capsys, line)
    assert "--bond" not in called(capsys, f"{line} --bond 40lb-ft")


def test_a_shut_breather_that_cools_draws_in(capsys: pytest.CaptureFixture[str]) -> None:
    assert "vacuum" in called(capsys, "breather --cold 80degC --hot 10degC")


def test_oil_under_the_joint_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert "stands above the oil" in called(capsys, "level --radius 180mm --ahead 120mm --oil=-20mm")


DRAWN = {name: TYPED[name][1] for name in ("audit", "weld", "level")}


@pytest.mark.parametrize("line", DRAWN.values(), ids=DRAWN)
def test_a_picture_is_written_and_never_over_another(
    line: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "picture.svg"
    called(capsys, f"{line} --svg {out}")
    assert ElementTree.fromstring(out.read_text(encoding="utf-8")).tag.endswith("svg")
    assert main(["calc", *line.split(), "--svg", str(out)]) == ExitCode.STORAGE
    assert main(["calc", *line.split(), "--svg", str(out), "--force"]) == ExitCode.OK
    assert main(["calc", *line.split(), "--svg", str(tmp_path / "picture.png")]) == ExitCode.USAGE


def test_a_picture_of_no_audit_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = f"calc {TYPED['fasteners'][0]} --svg {tmp_path / 'ring.svg'}"
    assert main(line.split()) == ExitCode.USAGE
    assert "give the readings with --audit" in capsys.readouterr().err


BOLTS = "--count 9 --radius 180mm"
ARC = "--process gmaw --amperes 220"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("fasteners 5/8-12 --grade 8 --torque 225lb-ft", "5/8 has 5/8-11 or 5/8-18"),
        ("fasteners 5/8-11 --grade 9 --torque 225lb-ft", "known are 2, 5, 8"),
        ("fasteners 5/8-11 --grade 8 --torque 225", "argument --torque: 225 has no unit; write it as 225lb-ft"),
        ("fasteners 5/8-11 --grade 8 --torque 225kg", "225 kg is a mass, a torque is wanted"),
        ("fasteners 5/8-11 --grade 8 --torque=-225lb-ft", "is less than 0"),
        ("fasteners 5/8-11 --grade 8 --torque nan", "'nan' is no measurement"),
        ("fasteners 5/8-11 --grade 8 --torque 0lb-ft", "the torque is 0"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit 225 220 lb-ft", "the whole ring"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit 225 220 x lb-ft", "--audit, reading 3: 'x lb-ft'"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit 225 220 2250 lb-ft", "fastener 3 reads"),
        (f"fasteners 5/8-11 --grade 8 --torque 225lb-ft --count 16 --audit {RING}", "8 readings for 16 fasteners"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --nut-factor 0", "the nut factor is 0"),
        ("slip --count 2 --radius 18cm --preload 90kN --engine 2kN*m --gear 14 --ratio 3.7", "count of fasteners is 2"),
        (f"slip {BOLTS} --preload 90kN --engine 2500N*m --gear 14 --ratio 37", "the axle's ratio is 37"),
        (f"slip {BOLTS} --radii 1 2 3 mm --preload 80kN --engine 1N*m --gear 14 --ratio 3", "or --radii of each"),
        ("slip --count 9 --preload 80kN --engine 1N*m --gear 14 --ratio 3", "give --count and --radius"),
        (f"slip {BOLTS} --kept 1 2 --preload 80kN --engine 1N*m --gear 14 --ratio 3", "2 shares are given for 9"),
        (f"slip {BOLTS} --preload 90..80kN --engine 1N*m --gear 14 --ratio 3", "the smaller number first"),
        (f"weld {ARC} --volts 250 --speed 6mm/s --wall 10mm --distance 4mm", "voltage in V is 250"),
        (f"weld {ARC} --volts 25 --speed 6mm --wall 10mm --distance 4mm", "6 mm is a length, a speed"),
        (f"weld {ARC} --volts 25 --speed 6mm/s --wall 9mm --distance 4mm --start=-300degC",
         "not above absolute zero"),
        ("leak --drops 0 --in 10min", "count them for ten minutes"),
        ("leak --drops 5 --in 0min", "the time is 0"),
        ("leak --drops 5 --in 10min --hours 30", "no more than 24 hours"),
        ("leak --topped 1L --in 10h --drops-too 3", "goes with --counted"),
        ("leak --in 10min", "one of the arguments --drops --stain --fall --seen --topped is required"),
        ("leak --drops 3", "give it with --in, such as --in 10min"),
        ("breather --cold=-300degC --hot 20degC", "not above absolute zero"),
        ("breather --cold 20degC --hot 20kPa", "20 kPa is a pressure, a temperature is wanted"),
        ("cure --flange 18mm --time 4h --humidity 0", "give per cent, such as 50"),
        ("cure --flange 0mm --time 4h", "the flange's width is 0"),
        ("level --radius 180mm --ahead 120mm --oil 60mm --grade 90", "the grade in per cent is 90"),
        ("level --radius 0mm --ahead 120mm --oil 60mm", "the joint's radius is 0"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_sentence(line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calc", *line.split()]) == ExitCode.USAGE
    answer = capsys.readouterr()
    assert answer.out == ""
    assert said in answer.err
    assert len(answer.err.strip().splitlines()) == 1
    assert "should not happen" not in answer.err


HOSTILE = (
    "0", "-1", "nan", "inf", "1e308", "1e-99", "1e99", "0mm", "0.0001mm", "1e9mm", "1e12h", "5..4mm", "3+-3mm",
    "-40degC", "1e6degC", "-459degF", "0.1s", "x", "", "99999999", "1e30kN", "1e-12m/s", "100%", "M24", "12.9", "2 lb",
    "1e20lb-ft", "--json", "\x1b[2J", "1" * 400,
)  # fmt: skip


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(line=st.sampled_from([line for both in TYPED.values() for line in both]), data=st.data())
def test_whatever_is_typed_there_is_an_answer_or_a_sentence(
    line: str, data: st.DataObject, capsys: pytest.CaptureFixture[str]
) -> None:
    words = line.split()
    for place in data.draw(st.lists(st.integers(1, len(words) - 1), min_size=1, max_size=3)):
        words[place] = data.draw(st.sampled_from(HOSTILE))
    code = main(["calc", *words])
    answer = capsys.readouterr()
    assert code in (ExitCode.OK, ExitCode.USAGE), answer.err
    assert len(answer.err.strip().splitlines()) == (code == ExitCode.USAGE)
    assert "\x1b" not in answer.err + answer.out


def test_no_other_command_pays_for_the_mechanics() -> None:
    code = "import sys; from leakdx.commands.parser import parser; parser(); print('leakdx.mechanics' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip() == "False"
