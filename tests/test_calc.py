"""Calculations of the joint's mechanics from the command line, as a person types them."""

import json
import re
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
from tests.calculated import called, is_answered_or_refused, is_refused

RING = "225 230 90 0 110 220 222 185 lb-ft"
METRIC_RING = "305.059 311.838 122.024 0 149.140 298.280 300.992 250.826 N*m"

TYPED = {
    "fasteners": ("fasteners 5/8-11 --grade 8 --torque 225lb-ft", "fasteners 5/8-11 --grade 8 --torque 305.059N*m"),
    "audit": (
        f"fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit {RING}",
        f"fasteners 5/8-11 --grade 8 --torque 305.059N*m --audit {METRIC_RING}",
    ),
    "clamp": (
        "clamp --count 16 --radius 7.0866in --preload 14000..29200lbf --face-width 0.787402in --carrier 0.708661in "
        "--housing 0.590551in --seal gasket --lost 5 6",
        "clamp --count 16 --radius 180mm --preload 62.275..129.888kN --face-width 20mm --carrier 18mm "
        "--housing 15mm --seal gasket --lost 5 6",
    ),
    "oblong clamp": (
        "clamp --clock 12 1 2:30 4:30 6 7:30 9 10:30 --high 15.74803in --wide 11.81102in --corner 3.14961in "
        "--preload 20000lbf --face-width 0.787402in --carrier 0.708661in --seal sealant --kept 100 100 60 0 55 "
        "100 100 100 --bed 9.21e6psi/in --follows 1.9685thou",
        "clamp --clock 12 1 2:30 4:30 6 7:30 9 10:30 --high 400mm --wide 300mm --corner 80mm "
        "--preload 88.9644kN --face-width 20mm --carrier 18mm --seal sealant --kept 100 100 60 0 55 100 100 100 "
        "--bed 2500MPa/mm --follows 50um",
    ),
    "order": ("order --count 14 --torque 225lb-ft --dowels 3 10", "order --count 14 --torque 305.059N*m --dowels 3 10"),
    "oblong order": (
        "order --count 12 --high 15.74803in --wide 11.81102in --corner 3.14961in --torque 225lb-ft",
        "order --count 12 --high 400mm --wide 300mm --corner 80mm --torque 305.059N*m",
    ),
    "slip": (
        "slip --count 16 --radius 7.0866in --preload 14000..29200lbf --engine 1850lb-ft --gear 14.4 --ratio 3.7 "
        "--load 20000lbf --tyre 19.685in --lost 3 --dowels 1 5 9 13 --dowel 0.62992in",
        "slip --count 16 --radius 180mm --preload 62.275..129.888kN --engine 2508.26N*m --gear 14.4 --ratio 3.7 "
        "--load 88.9644kN --tyre 500mm --lost 3 --dowels 1 5 9 13 --dowel 16mm",
    ),
    "oblong slip": (
        "slip --count 6 --high 15.74803in --wide 11.81102in --kept 100 90 80 0 100 100 --preload 20000..24000lbf "
        "--engine 1850lb-ft --gear 14.4 --ratio 3.7",
        "slip --count 6 --high 400mm --wide 300mm --kept 100 90 80 0 100 100 --preload 88.964..106.757kN "
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
    "heights": (
        "flatness --dial 12=0 1:30=1.5 3=2 4:30=14.5 6=1 7:30=0.0 9=-1 10:30=0.5 12=0.2 thou --gauge 0.4thou",
        "flatness --dial 12=0 1:30=0.03810 3=0.05080 4:30=0.36830 6=0.02540 7:30=0 9=-0.02540 10:30=0.01270 "
        "12=0.00508 mm --gauge 0.01016mm",
    ),
    "two_rings": (
        "flatness --dial n1=0 n4@6in=1.5 n4=2 n8=1 n12=0.5 n12@6in=0 thou --radius 7in --count 16 --face carrier",
        "flatness --dial n1=0 n4@152.4mm=38.10 n4=50.80 n8=25.40 n12=12.70 n12@152.4mm=0 um --radius 177.8mm "
        "--count 16 --face carrier",
    ),
    "gaps": (
        "flatness --gaps 12=0 2=0.002 4=0.004..0.005 6=0 8=0 10=0.001 in",
        "flatness --gaps 12=0 2=0.0508 4=0.1016..0.127 6=0 8=0 10=0.0254 mm",
    ),
    "place": (
        "place --wet 3:30..5 --count 16 --weak 5 6 7 --weld 4",
        "place --wet 3:30..5 --count 16 --weak 5 6 7 --weld 4",
    ),
    "oblong face": (
        "flatness --dial n1=0 n4=1 n7=5.6 n10=0 n12=2 thou --count 12 --high 16in --wide 13in --corner 4in",
        "flatness --dial n1=0 n4=25.4 n7=142.24 n10=0 n12=50.8 um --count 12 --high 406.4mm --wide 330.2mm "
        "--corner 101.6mm",
    ),
    "blade": (
        "flatness --blade 0.005in --enters n5 n6 --stays-out n1 n9 n13 --count 16 --first 12:30",
        "flatness --blade 0.127mm --enters n5 n6 --stays-out n1 n9 n13 --count 16 --first 12:30",
    ),
}


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
    assert inch != metric or line.startswith("place")  # which has nothing in units
    assert both.splitlines()[-1] == inch.splitlines()[-1] == metric.splitlines()[-1]
    assert "\x1b" not in both
    assert "nan" not in both.lower()


IN_BOTH = re.compile(r"[\d to]+°C \([^)]*°F\)|100 mm \(4 in\)")
INCH_ONLY = r"\d (lbf|in|thou|psi|ksi|qt|mi|kJ/in|fl oz/h|°F)\b"
METRIC_ONLY = r"\d (N·m|kN|N|mm|µm|kPa|MPa|L|km|kJ/mm|mL/h|°C)\b"


@pytest.mark.parametrize("line", [line for both in TYPED.values() for line in both])
def test_asked_for_one_system_nothing_of_the_other_is_shown(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    """But for what is always named in both, as the cooling from 800 to 500 degC."""
    for units, other in (("inch", METRIC_ONLY), ("metric", INCH_ONLY)):
        said = IN_BOTH.sub("", called(capsys, f"{line} --units {units}"))
        assert not [each for each in said.splitlines() if re.search(other, each)]


def test_a_shop_sees_its_own_units(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    line = "order --count 16 --torque 225lb-ft"
    asked = called(capsys, f"{line} --units metric")
    (tmp_path / "settings.yaml").write_text("units: metric\n")
    monkeypatch.setenv("LEAKDX_CONFIG", str(tmp_path))
    assert called(capsys, line) == asked


@pytest.mark.parametrize("line", [TYPED[name][1] for name in ("audit", "clamp", "heights", "leak", "weld")])
def test_a_shop_reads_its_own_decimal_sign_and_machines_the_point(
    line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each fraction has its comma, all else stays: names of threads too, and the law that is named by its section."""
    usual, for_machines = called(capsys, line), called(capsys, f"{line} --json")
    (tmp_path / "settings.yaml").write_text("numbers: comma\n")
    monkeypatch.setenv("LEAKDX_CONFIG", str(tmp_path))
    said = called(capsys, line)
    assert re.search(r"\d,\d", said)
    assert not re.search(r"\d\.\d", said.replace("49 CFR 396.5", ""))
    assert said.replace(",", ".") == usual.replace(",", ".")
    assert called(capsys, f"{line} --json") == for_machines


@pytest.mark.parametrize(
    ("apart", "together"),
    [
        ("fasteners 5/8-11 --grade 8 --torque 225 lb-ft", "fasteners 5/8-11 --grade 8 --torque 225lb-ft"),
        ("fasteners --torque 225 ft lb 5/8-11 --grade 8", "fasteners 5/8-11 --grade 8 --torque 225lb-ft"),
        ("breather --cold -5 °C --hot 80 C", "breather --cold=-5degC --hot 80degC"),
        ("cure --flange 18 mm --time 30 h --humidity 45%", "cure --flange 18mm --time 30h --humidity 45"),
        ("level --radius 180 mm --ahead 12 cm --oil 60 mm --grade -6%",
         "level --radius 180mm --ahead 12cm --oil 60mm --grade -6"),
        ("weld --process mig --volts 25 --amperes 220 --speed 6 mm/s --wall 10 mm --distance 1..2 in",
         "weld --process gmaw --volts 25 --amperes 220 --speed 6mm/s --wall 10mm --distance 1..2in"),
    ],
)  # fmt: skip
def test_units_may_stand_apart_and_a_process_has_its_shop_name(
    apart: str, together: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert called(capsys, apart) == called(capsys, together)


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


def test_the_unit_may_stand_behind_each_reading(capsys: pytest.CaptureFixture[str]) -> None:
    line = "fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit {}"
    last = called(capsys, line.format("225 230 90 110 lb-ft"))
    assert called(capsys, line.format("225lb-ft 230lb-ft 90lb-ft 110lb-ft")) == last


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


def test_what_is_lost_at_work_says_not_how_wet_it_is_until_drops_are_counted(
    capsys: pytest.CaptureFixture[str],
) -> None:
    lost = called(capsys, "leak --fall 10mm --in 40h")
    assert "Oil is lost at work" in lost
    assert "How wet" not in lost
    assert "How wet: drops fall." in called(capsys, "leak --topped 0.5L --in 40h --drops-too 3 --counted 10min")
    assert "It was seen standing" in called(capsys, "leak --drops 12 --in 10min --speed 40mph")


def test_marks_that_people_write_are_no_fault(capsys: pytest.CaptureFixture[str]) -> None:
    plain, marked = (
        called(capsys, f"weld --process mig --speed 6mm/s --wall 10mm --distance 9mm {rest}")
        for rest in ("--volts 25 --amperes 220", "--volts 25V --amperes 220A")
    )
    assert plain == marked
    slip = "slip --count 16 --radius 180mm --engine 1850lb-ft"
    plain, marked = (
        called(capsys, f"{slip} {rest}")
        for rest in (
            "--preload 14000..29200lbf --gear 14.4 --ratio 3.70",
            "--preload 14000..29200lb --gear 14.4:1 --ratio 3.70:1",
        )
    )
    assert plain == marked


def test_a_preload_without_its_doubt_is_said_to_be_so(capsys: pytest.CaptureFixture[str]) -> None:
    joint = "slip --count 16 --radius 180mm --engine 1850lb-ft --gear 14.4 --ratio 3.7 --preload"
    assert "The preload was taken as exact" in called(capsys, f"{joint} 96kN")
    assert "taken as exact" not in called(capsys, f"{joint} 62..130kN")


def test_a_count_says_the_clamp_of_all(capsys: pytest.CaptureFixture[str]) -> None:
    assert "clamp of all 16, likely   346000 lbf" in called(
        capsys, "fasteners 5/8-11 --grade 8 --torque 225lb-ft --count 16"
    )


def test_one_that_lost_clamp_stands_beside_none(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit 225 230 90 220 222 lb-ft")
    assert "Lost clamp: 3." in said


def test_an_oil_by_its_sheet_and_an_oil_too_cold(capsys: pytest.CaptureFixture[str]) -> None:
    line = "leak --drops 5 --in 10min --arc 50mm"
    assert "oil of grade 90 at 68 °F (20 °C)" in called(capsys, f"{line} --sheet 150 15")
    assert "not made to flow below 10.4 °F (-12 °C)" in called(capsys, f"{line} --oil 85W-140 --at=-20degC")
    assert "not made to flow" not in called(capsys, f"{line} --oil 75W-90 --at=-20degC")


def test_adhesive_is_reckoned_with(capsys: pytest.CaptureFixture[str]) -> None:
    line = f"fasteners 5/8-11 --grade 8 --torque 225lb-ft --turning adhesive --audit {RING}"
    assert "give what it may hold with --bond" in called(capsys, line)
    assert "--bond" not in called(capsys, f"{line} --bond 40lb-ft")


def test_a_shut_breather_that_cools_draws_in(capsys: pytest.CaptureFixture[str]) -> None:
    assert "vacuum" in called(capsys, "breather --cold 80degC --hot 10degC")


def test_a_shut_breather_that_stays_as_warm_neither_presses_nor_draws(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "breather --cold 20degC --hot 20degC")
    assert "it holds no pressure" in said
    assert "vacuum" not in said


def test_oil_over_the_whole_joint_is_doubted(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "level --radius 180mm --ahead 120mm --oil 600mm")
    assert "look at the height" in said
    assert "only from splash" not in said


def test_oil_under_the_joint_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert "stands above the oil" in called(capsys, "level --radius 180mm --ahead 120mm --oil=-20mm")


@pytest.mark.parametrize(("grade", "reads", "holds"), [("3", "low", "much"), ("-3", "high", "little")])
def test_a_sloping_floor_misleads_the_check(
    grade: str, reads: str, holds: str, capsys: pytest.CaptureFixture[str]
) -> None:
    said = called(capsys, f"level --radius 200mm --ahead 130mm --oil 80mm --plug 150mm --grade={grade}")
    assert f"level reads too {reads} by" in said
    assert "4.5 mm" in said
    assert f"it holds too {holds} oil on the level" in said


def test_faces_that_part_are_placed_by_clock_and_fastener(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, TYPED["clamp"][1])
    assert "between 5 and 6" in said
    assert "none: the faces part" in said
    assert "[5]" in said
    assert "does not hold from 2:45 to 4 " in said


def test_a_sound_joint_holds(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, TYPED["clamp"][1].replace(" --lost 5 6", ""))
    assert "The joint holds all round." in said
    assert "!" not in said.split("seen from")[0]


def test_an_order_by_its_steps(capsys: pytest.CaptureFixture[str]) -> None:
    said = called(capsys, "order --count 12 --torque 225lb-ft --units inch")
    assert "1 7 4 10  2 8 5 11  3 9 6 12" in said
    assert [line.split()[-2] for line in said.splitlines() if line.startswith("pass")] == ["67.5", "158", "225"]
    dowels = called(capsys, TYPED["order"][0])
    assert "dowel places first     3 10" in dowels
    assert "(1)" in dowels


DRAWN = {
    name: TYPED[name][1]
    for name in TYPED
    if name.endswith(("clamp", "order", "face")) or name in ("audit", "weld", "level", "heights", "two_rings", "gaps",
                                                             "blade", "place")
}  # fmt: skip


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
FLANGE = "--preload 90kN --face-width 20mm --carrier 18mm --seal gasket"
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
        (f"clamp {FLANGE}", "give --radius of a round joint, or --high and --wide"),
        (f"clamp {FLANGE} --count 9 --radius 9cm --high 20cm --wide 10cm", "give --radius of a round joint, or"),
        (f"clamp {FLANGE} --radius 180mm", "give --count of fasteners that are spaced evenly, or --clock"),
        (f"clamp {FLANGE} --radius 180mm --count 2", "the count of fasteners is 2"),
        (f"clamp {FLANGE} --radius 180mm --clock 12 6 3", "go round more than once"),
        (f"clamp {FLANGE} --radius 180mm --clock 12 4 8 --first 1", "--first goes with --count"),
        (f"clamp {FLANGE} --radius 180mm --count 9 --needs 1MPa --seal sealant", "a seal that is pressed"),
        (f"clamp {FLANGE} --radius 180mm --clock 12 13 3", "'13' is no place on a clock; write 1 to 12"),
        (f"clamp {FLANGE} --radius 180mm --count 9 --lost 10", "the joint has 1 to 9"),
        (f"clamp {FLANGE} --radius 180mm --count 3 --lost 1 2 3", "every fastener is lost"),
        (f"clamp {FLANGE} --radius 180mm --count 9 --kept 100", "1 shares are given for 9"),
        (f"clamp {FLANGE} --radius 180mm --count 9 --follows 1mm", "a seal that sticks"),
        (f"clamp {FLANGE} --radius 180mm --count 9 --bed 2MPa", "2 MPa is a pressure"),
        (f"clamp {FLANGE} --high 40cm --wide 30cm --corner 20cm --count 9", "is too round"),
        ("order --count 2", "the count of fasteners is 2"),
        ("order", "give --count"),
        ("order --count 12 --dowels 13", "the joint has 1 to 12"),
        ("order --count 12 --high 40cm", "give --radius of a round joint, or"),
        ("order --count 12 --high 40cm --wide 30cm --start 2", "begun in its middle"),
        ("order --count 12 --torque=-3lb-ft", "is less than 0"),
        ("slip --count 2 --radius 18cm --preload 90kN --engine 2kN*m --gear 14 --ratio 3.7", "count of fasteners is 2"),
        (f"slip {BOLTS} --preload 90kN --engine 2500N*m --gear 14 --ratio 37", "the axle's ratio is 37"),
        ("slip --count 9 --preload 80kN --engine 1N*m --gear 14 --ratio 3", "give --radius of a round joint"),
        (f"slip {BOLTS} --kept 1 2 --preload 80kN --engine 1N*m --gear 14 --ratio 3", "2 shares are given for 9"),
        (f"slip {BOLTS} --preload 90..80kN --engine 1N*m --gear 14 --ratio 3", "the smaller number first"),
        (f"weld {ARC} --volts 250 --speed 6mm/s --wall 10mm --distance 4mm", "voltage in V is 250"),
        (f"weld {ARC} --volts 25 --speed 6mm --wall 10mm --distance 4mm", "6 mm is a length, a speed"),
        (f"weld {ARC} --volts 25 --speed 6mm/s --wall 9mm --distance 4mm --start=-300degC",
         "not above absolute zero"),
        ("leak --drops 0 --in 10min", "where none falls there is no rate"),
        ("leak --drops 5 --in 0min", "the time is 0"),
        ("leak --drops 5 --in 10min --hours 30", "must lie between 0.1 and 24"),
        ("leak --topped 1L --in 10h --drops-too 3", "goes with --counted"),
        ("leak --in 10min", "one of the arguments --drops --stain --fall --seen --topped is required"),
        ("leak --drops 3", "give it with --in, such as --in 10min"),
        ("leak --drops 3 --in 10min --counted 5min", "--counted goes with --drops-too"),
        ("leak --drops 3 --in 10min --surface 1000cm^2", "--surface goes with --fall"),
        ("breather --cold 20degC --hot 80degC --oil-volume 15L", "--oil-volume and --air go together"),
        (f"slip {BOLTS} --preload 90kN --engine 2kN*m --gear 14 --ratio 3.7 --tyre 50cm", "--tyre goes with --load"),
        (f"slip {BOLTS} --preload 90kN --engine 2kN*m --gear 14 --ratio 3.7 --dowel 2cm", "--dowel goes with --dowels"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --way peak", "--way and --bond go with --audit"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --bond 20lb-ft", "--way and --bond go with --audit"),
        ("fasteners 5/8-11 --grade 8 --torque 225lb-ft --audit 225lb-ft 230Nm 220 lb-ft", "have one unit and some"),
        ("breather --cold=-300degC --hot 20degC", "not above absolute zero"),
        ("breather --cold 20degC --hot 20kPa", "20 kPa is a pressure, a temperature is wanted"),
        ("cure --flange 18mm --time 4h --humidity 0", "give per cent, such as 50"),
        ("cure --flange 0mm --time 4h", "the flange's width is 0"),
        ("level --radius 180mm --ahead 120mm --oil 60mm --grade 90", "the grade in per cent is 90"),
        ("level --radius 0mm --ahead 120mm --oil 60mm", "the joint's radius is 0"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_sentence(line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    is_refused(capsys, line, said)


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
    is_answered_or_refused(capsys, line, HOSTILE, data)


def test_no_other_command_pays_for_the_mechanics() -> None:
    code = "import sys; from leakdx.commands.parser import parser; parser(); print('leakdx.mechanics' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip() == "False"
