"""What cannot be measured, kind by kind and in every calculation that can meet it: one sentence, and no answer."""

import pytest

from leakdx.cli import main
from leakdx.errors import ExitCode
from tests.calculated import is_refused

FACE = "flatness --dial 12=0 3=1 6=0"
CLAMP = "clamp --radius 180mm --face-width 20mm --carrier 18mm --seal gasket"
SLIP = "slip --radius 180mm --engine 1850lb-ft --gear 14 --ratio 3"
BOLT = "fasteners 5/8-11 --grade 8"
WELD = "weld --process gmaw --volts 25 --amperes 220 --speed 6mm/s --wall 10mm"

MISSING_UNIT = [
    (f"{FACE} 9=2", "--dial, reading 1: 0 has no unit; write one behind the last reading"),
    (f"{BOLT} --torque 225", "argument --torque: 225 has no unit; write it as 225lb-ft"),
    (f"{BOLT} --torque 225lb-ft --audit 220 210 200", "--audit, reading 1: 220 has no unit"),
    (f"{CLAMP} --count 16 --preload 96", "argument --preload: 96 has no unit; write it as 96kN"),
    ("order --count 16 --torque 225", "argument --torque: 225 has no unit"),
    ("breather --cold 20 --hot 80degC", "argument --cold: 20 has no unit"),
]
MIXED_UNITS = [
    ("flatness --dial 12=0in 3=1mm 6=0in 9=2in", "some readings have one unit and some another; write all in one"),
    (f"{FACE} 9=2 lbf", "0 lbf is a force, a length is wanted"),
    (f"{CLAMP} --count 16 --preload 96kg", "96 kg is a mass, a force is wanted"),
    (f"{BOLT} --torque 225lb", "225 lb is a mass, a torque is wanted"),
    (f"{BOLT} --torque 30kpm", "'kpm' is not a known unit; write it as 225lb-ft"),
]
IMPOSSIBLE_PLACE = [
    ("flatness --dial 12=0 13=1 6=0 9=2 thou", "reading 2: '13' is no place on a clock; write 1 to 12"),
    ("flatness --dial n1=0 n17=1 n6=0 n9=2 thou --count 16", "there is no fastener 17; the joint has 1 to 16"),
    (
        "flatness --dial 12=0 3@9m=1 6=0 9=2 thou --radius 7in",
        "the radius is 9000 mm (354.3 in), and must lie between 2 mm",
    ),
    ("flatness --dial 12=0 12:01=1 11:59=2 12:02=3 thou", "all places lie on one line or nearly so"),
    ("place --wet 3 --weld 4:75", "'4:75' is no place on a clock"),
    ("place --count 12 --wet 3 --weak 13", "there is no fastener 13; the joint has 1 to 12"),
    ("place --count 12 --wet 3 --weak 3 3", "a fastener is named twice"),
]
TOO_FEW = [
    ("flatness --dial 12=0 3=1 6=0 thou", "flatness needs four places at least, and there are 3"),
    ("flatness --dial 12=0 6=1 12=2 6=3 thou", "flatness needs four places at least, and there are 2"),
    ("flatness --gaps 12=0 3=1 6=0 thou", "a straight edge is laid at four places at least"),
    ("order --count 2", "the count of fasteners is 2"),
]
ALL_THE_SAME = [
    ("flatness --dial 12=1 3=1 6=1 9=1 thou", "all 4 heights are the same"),
    ("place --wet 3 --count 5 --torques 5 5 5 5 5 lb-ft", "all readings are the same"),
]
ABSURD = [
    ("flatness --dial 12=0 3=9000 6=0 9=1 10=2 11=0 thou", "the height at 3 stands"),
    ("flatness --gaps 12=0 3=9000 6=0 9=1 thou", "the gap at 3 is 228.6 mm (9 in), and no face is so far out of flat"),
]
DECIMAL_COMMA = [
    (
        "flatness --dial 12=0,02 3=0,05 6=0,01 9=0,04 mm",
        "--dial: '12=0,02' has a comma; write it as 12=0.02",
    ),
    (f"{BOLT} --torque 225,5lb-ft", "argument --torque: '225,5lb-ft' has a comma; write it as 225.5lb-ft"),
    ("slip --engine 1,850lb-ft", "'1,850lb-ft' has a comma; write it as 1850lb-ft or 1.850lb-ft"),
    (f"{BOLT} --torque 225lb-ft --audit 225,5 220,0 210,5 lb-ft", "--audit: '225,5' may be one number or two"),
]
UNUSED = [
    ("leak --drops 12 --in 10min --on card", "--on goes with --stain"),
    ("leak --drops 12 --in 10min --head 0.1m", "--head goes with --arc; give the wet length of the joint"),
    ("leak --drops 12 --in 10min --pressure 20kPa", "--pressure goes with --arc"),
    ("leak --drops 12 --in 10min --at 20degC", "--at goes with --arc"),
    ("leak --drops 12 --in 10min --arc 2in --sheet 110 15.5 --oil 75W-90", "--oil has no use beside --sheet"),
    ("leak --seen falls --in 10min", "--in has no use beside --seen"),
    ("level --radius 7in --ahead 5in --oil 2in --plug 6in", "on the level it reads right; give --grade"),
    ("flatness --dial 12=0 3=1 6=0 9=2 thou --first 3", "--first goes with --count"),
    ("order --count 16 --torqe 225lb-ft", "'--torqe' is no part of it; did you mean --torque?"),
]
TOO_BIG_OR_SMALL = [
    (f"{WELD} --wall 10m --distance 8mm", "the wall is 10 m (393.7 in), and must lie between 0.5 mm"),
    (f"{CLAMP} --radius 80in --count 16 --preload 96kN", "the joint's radius is 2032 mm (80 in)"),
    (f"{CLAMP} --count 3 --preload 96kN --kept 100 250 100", "fastener 2 keeps is 250 %, and must lie between 0 %"),
    ("level --radius 7in --ahead 120m --oil 60mm", "the distance ahead is 120 m (4724 in)"),
    ("breather --cold 20degC --hot 900degF", "the hot temperature is 482.222 degC (900 degF), and must lie"),
    ("breather --cold 20degC --hot 80degC --outside 20psi", "the outside pressure is 137.9 kPa (20 psi)"),
    ("leak --drops 12 --in 10min --hours 0", "the hours a day is 0, and must lie between 0.1 and 24"),
    ("leak --drops 12 --in 10min --arc 2in --flange 0mm", "the width of the joint is 0"),
]
OF_THE_OTHER_SYSTEM = [
    ("fasteners M16x2 --grade 8 --torque 305N-m", "SAE J429 grade 8 is of inch fasteners, and M16x2 is metric"),
    ("fasteners 5/8-11 --grade 10.9 --torque 225lb-ft", "class 10.9 is of metric fasteners, and 5/8-11 is inch"),
]
NEGATIVE = [
    (f"{BOLT} --torque -225lb-ft", "argument --torque: '-225lb-ft' is less than 0"),
    (f"{BOLT} --torque 225lb-ft --audit 220 -5 200 210 lb-ft", "--audit, reading 2: '-5 lb-ft' is less than 0"),
    ("flatness --gaps 12=0 3=-1 6=0 9=0 thou", "--gaps, reading 2: '-1 thou' is less than 0"),
    (f"{CLAMP} --count 16 --preload -96kN", "'-96kN' is not more than 0; give one such as 96kN"),
    (f"{WELD} --distance -8mm", "argument --distance: '-8mm' is not more than 0; give one such as 40mm"),
]
NOT_THE_FAMILY = [
    (f"{line} --axle onyx_single --count 12", "12 fasteners do not fit Onyx single drive axle, which has 16")
    for line in ("order", f"{BOLT}", f"{CLAMP} --preload 96kN", f"{SLIP} --preload 96kN", "place --wet 3 --weak 3")
]
COLDER_THAN_CAN_BE = [
    ("breather --cold -300degC --hot 80degC", "is not above absolute zero"),
    ("breather --cold 20degC --hot=-500degF", "is not above absolute zero"),
]
NOT_A_NUMBER = [
    ("flatness --dial 12=0 3=nan 6=0 9=1 thou", "'3=nan' is no place with a number"),
    (f"{BOLT} --torque nanlb-ft", "'nanlb-ft' is no measurement"),
    (f"{BOLT} --torque 225lb-ft --audit 220 nan 200 210 lb-ft", "--audit, reading 2: 'nan lb-ft' is no measurement"),
    (f"{CLAMP} --count 16 --preload nankN", "'nankN' is no measurement"),
    ("level --radius 180mm --ahead 120mm --oil 60mm --grade nan", "'nan' is no plain number"),
]
ALL = [*MISSING_UNIT, *MIXED_UNITS, *IMPOSSIBLE_PLACE, *TOO_FEW, *ALL_THE_SAME, *ABSURD, *DECIMAL_COMMA, *NEGATIVE,
       *UNUSED, *TOO_BIG_OR_SMALL, *OF_THE_OTHER_SYSTEM, *NOT_THE_FAMILY, *COLDER_THAN_CAN_BE,
       *NOT_A_NUMBER]  # fmt: skip


@pytest.mark.parametrize(("line", "said"), ALL, ids=[line for line, _ in ALL])
def test_what_cannot_be_is_one_sentence(line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    is_refused(capsys, line, said)


@pytest.mark.parametrize("audit", ["225 220 210 lb-ft", "225, 220, 210 lb-ft", "225,220,210 lb-ft"])
def test_readings_stand_apart_by_spaces_or_commas(audit: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calc", *f"{BOLT} --torque 225lb-ft --audit {audit}".split()]) == ExitCode.OK
    assert "210 lbf·ft" in capsys.readouterr().out


@pytest.mark.parametrize("readings", ["12=0 2=1 4=200 6=1 8=0 10=0", "12=0 1=.4 2=-.3 3=.2 4=40 5=-.4 6=.1 7=.3 8=-.2"])
def test_a_reading_far_from_all_others_is_named_and_not_dropped(
    readings: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["calc", "flatness", "--dial", *readings.split(), "thou"]) == ExitCode.OK
    said = capsys.readouterr().out
    assert "stands alone" in said
    assert "It counts; look there again." in said
    assert "no gasket on this face" in said
