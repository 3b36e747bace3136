"""A case and ``leakdx calc`` find the same in the same readings."""

import json
from collections.abc import Mapping
from typing import Any

import pytest

from leakdx.knowledge.model import WorkedOut
from leakdx.measured.axle import FROM_AXLE
from leakdx.measured.fields import reader
from leakdx.measured.finding import FIELDS
from leakdx.measured.kinds import CALCULATIONS, RESULTS
from leakdx.mechanics.audit import Pattern
from leakdx.mechanics.leak import Wetness
from tests import shipped
from tests.calculated import called
from tests.measurements.cases import BEAD, DRIPS, FACE, OPEN, RING, STANDS, diagnosed, measured

LISTED = ("dial", "gaps", "enters", "stays_out", "audit", "weak")
"""Fields whose words a shell hands on one by one."""


def as_called(by: str, readings: Mapping[str, str]) -> str:
    """The same readings as a command."""
    words = [by]
    for field, typed in readings.items():
        option = "in" if field == "time" else field.replace("_", "-")
        value = typed if field in LISTED else typed.replace(" ", "")
        words.append(value if field == "thread" else f"--{option} {value}")
    return " ".join(words)


def by_calc(capsys: pytest.CaptureFixture[str], by: str, readings: Mapping[str, str]) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(called(capsys, f"{as_called(by, readings)} --json"))
    return answer


@pytest.mark.parametrize(
    "readings",
    [
        FACE,
        {**FACE, "dial": "12=0 1:30=0.1 3=0.13 4:30=0.12 6=0 7:30=-0.02 9=0.01 10:30=0.03 mm"},
        {"face": "carrier", "gaps": "12=0 2=0.002 4=0.004..0.005 6=0 8=0 10=0.001 in"},
        {"face": "carrier", "blade": "0.13 mm", "enters": "n5 n6", "stays_out": "n1 n9 n13", "count": "16"},
    ],
    ids=["dial", "at the limit", "gaps", "blade"],
)
def test_a_face(capsys: pytest.CaptureFixture[str], readings: dict[str, str]) -> None:
    answer = by_calc(capsys, "flatness", readings)
    diagnosis = diagnosed(OPEN, measured("flatness", readings))
    (row,) = diagnosis.answers.worked_out
    assert row.chances["yes"] == pytest.approx(answer["values"]["chance that it is beyond"]["value"], abs=1e-9)
    verdicts = {fact.answer for fact in diagnosis.run.given if fact.kind == "reading"}
    assert ("beyond" in verdicts) == (answer["values"]["the rule for a gasket"] == "stops it")
    assert ("close" in verdicts) == (
        answer["values"]["verdict"] == "too close to say"
        or answer["values"]["the rule for a gasket"] == "cannot be asked"
    )
    (read,) = [row.worked for row in diagnosis.timeline.readings]
    assert read is not None
    assert read.value is not None
    assert read.value.low == pytest.approx(answer["seen"]["low"] / 0.0254)
    assert read.value.error == pytest.approx(answer["seen"]["spread"] / 0.0254)


@pytest.mark.parametrize(
    ("audit", "pattern"),
    [
        ("225 230 222 228 100 80 95 218 226 230 224 221", "neighbours_low"),
        ("225 230 222 228 100 220 95 218 226 80 224 221", "scattered_low"),
        ("225 230 222 228 100 220 225 218 226 230 224 221", "one_low"),
        ("225 230 222 228 220 220 225 218 226 230 224 221", "even"),
        ("100 90 122 88 100 120 225 118 126 30 124 121", "all_low"),
    ],
)
def test_an_audit(capsys: pytest.CaptureFixture[str], audit: str, pattern: str) -> None:
    readings = {**RING, "audit": f"{audit} lb-ft"}
    lost = [each["number"] for each in by_calc(capsys, "fasteners", readings)["fasteners"] if each["chance_lost"] > 0.5]
    (row,) = diagnosed(measured("fasteners", readings)).answers.worked_out
    assert row.answer == pattern
    assert all(str(number) in row.said for number in lost)


def test_a_weld(capsys: pytest.CaptureFixture[str]) -> None:
    for distance in ("8 mm", "15..30 mm", "200 mm"):
        readings = {**BEAD, "distance": distance}
        answer = by_calc(capsys, "weld", readings)
        (row,) = diagnosed(measured("weld", readings)).answers.worked_out
        assert row.chances["yes"] == pytest.approx(answer["values"]["chance of harm"]["value"], abs=1e-9)


@pytest.mark.parametrize(("drops", "answer"), [("1", "drop_falls"), ("12", "drop_falls"), ("6000", "stream")])
def test_drips(capsys: pytest.CaptureFixture[str], drops: str, answer: str) -> None:
    readings = {**DRIPS, "drops": drops}
    rate = by_calc(capsys, "leak", readings)["values"]["leaks"]["value"]["likely"] * 3.6e9
    (row,) = diagnosed(measured("leak", readings)).answers.worked_out
    assert row.answer == answer
    assert row.said.startswith(f"{rate:.2g} mL or")


@pytest.mark.parametrize("weak", ["5 6 7", "4 12", "1 2 3"])
def test_places(capsys: pytest.CaptureFixture[str], weak: str) -> None:
    readings = {**STANDS, "weak": weak}
    values = by_calc(capsys, "place", readings)["values"]
    inside = not values["of them in the wet place"].startswith("0")
    (row,) = diagnosed(measured("place", readings)).answers.worked_out
    assert (row.answer == "yes") == inside
    chance = max(values[f"chance to be so near, {how}"]["value"] for how in ("each by itself", "turned as one group"))
    assert not inside or f"one time in {round(1 / chance)}" in row.said


def test_a_case_of_a_known_axle_need_not_say_what_the_axle_says() -> None:
    short = {"grade": "8", "audit": RING["audit"]}
    (row,) = diagnosed(measured("fasteners", short), axle="onyx_single").answers.worked_out
    (whole,) = diagnosed(measured("fasteners", RING)).answers.worked_out
    assert row.chances == pytest.approx(whole.chances)


def test_the_shipped_knowledge_takes_every_calculation() -> None:
    worked = [sign.worked_out for sign in shipped.knowledge().signs.values() if sign.worked_out]
    assert {each.by for each in worked} == set(CALCULATIONS)
    assert all(isinstance(each, WorkedOut) for each in worked)


def test_results_are_those_of_the_calculations() -> None:
    assert RESULTS["fasteners"] == tuple(Pattern)
    assert RESULTS["leak"] == tuple(each.name.lower() for each in Wetness)
    assert set(FIELDS) == set(RESULTS) == set(CALCULATIONS) == set(FROM_AXLE)
    for by, fields in FROM_AXLE.items():
        assert all(callable(reader(FIELDS[by], name)) for name in fields)
