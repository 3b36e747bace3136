"""Raw readings that cannot be: one sentence where they stand, and no diagnosis."""

import re
from typing import Any

import pytest

from leakdx.errors import CaseError
from leakdx.store.casefile import parse_case
from leakdx.store.caseyaml import case_text
from tests import shipped
from tests.measurements.cases import BEAD, DRIPS, FACE, RING, STANDS, case, measured, text

BROKEN: list[tuple[dict[str, Any], str]] = [
    (measured("fasteners", {**RING, "audit": "225 230"}), "audit, reading 1: 225 has no unit; write it as 225 220"),
    (measured("fasteners", {**RING, "audit": "225 230 lb-ft"}), "an audit needs the readings of the whole ring"),
    (measured("fasteners", {**RING, "audit": "225 -5 230 lb-ft"}), "audit, reading 2: '-5 lb-ft' is less than 0"),
    (measured("fasteners", {**RING, "grade": "9"}), "there is no grade '9'; known are 2, 5, 8, 8.8, 10.9, 12.9"),
    (measured("fasteners", {**RING, "turning": "wet"}), "there is no thread 'wet'; known are plain, zinc"),
    (measured("fasteners", {**RING, "way": "quick"}), "there is no way of reading 'quick'; known are moving"),
    (measured("fasteners", {**RING, "torqe": "5"}), "'torqe' is no part of this measurement; did you mean 'torque'?"),
    (measured("fasteners", {**RING, "torque": "225"}), "225 has no unit; write it as 225lb-ft"),
    (measured("fasteners", {**RING, "count": "12"}), "audit has 16 readings for 12 fasteners"),
    (measured("fasteners", {"grade": "8", "audit": RING["audit"]}), "give the thread, such as 5/8-11"),
    (measured("flatness", {"dial": FACE["dial"]}), "it is not said what was read; write face: housing or"),
    (measured("flatness", {"face": "housing"}), "give one of dial, gaps and blade"),
    (measured("flatness", {**FACE, "dial": "12=0 3=1 6=0 thou"}), "flatness needs four places at least"),
    (measured("flatness", {**FACE, "dial": "12=0 13=1 6=0 9=1 thou"}), "dial, reading 2: '13' is no place on a clock"),
    (measured("flatness", {**FACE, "gauge": "1 psi"}), "1 psi is a pressure, a length is wanted"),
    (measured("weld", {"process": "gmaw"}), "'volts' is missing; write it as volts: 25"),
    (measured("weld", {**BEAD, "process": "brazing"}), "there is no process 'brazing'; known are smaw"),
    (measured("weld", {**BEAD, "seal": "cork"}), "there is no seal 'cork'; known are sealant"),
    (measured("weld", {**BEAD, "volts": "9000"}), "the voltage in V is 9000, and must lie between 5 and 100"),
    (measured("weld", {**BEAD, "start": "-300 degC"}), "is not above absolute zero"),
    (measured("leak", {"drops": "12"}), "a rate needs how long it took; give the time, such as 10min"),
    (measured("leak", {"time": "10 min"}), "give drops that were counted, or the growth of a stain"),
    (measured("leak", {**DRIPS, "drops": "nan"}), "'nan' is no count; write a whole number"),
    (measured("leak", {"stain": "200 cm^2", "on": "sand", "time": "1 h"}), "there is no surface 'sand'; known"),
    (measured("place", {"wet": "4"}), "it is not said what was read; write weld: ... or weak: ..."),
    (measured("place", {"wet": "4", "weak": "5"}), "weak fasteners need the count of all; give count and weak"),
    (measured("place", {**STANDS, "weak": "17"}), "there is no fastener 17; the joint has 1 to 16"),
    (measured("place", {**STANDS, "wet": "25"}), "'25' is no place on a clock"),
    (measured("welds", {}), "'welds' is no measurement; did you mean 'weld'?"),
    ({"who": "AB", "measured": "leak"}, "entry 3 has 'measured' but no 'readings'"),
    ({**measured("leak", DRIPS), "is": "yes"}, "'is' does not go with 'measured' in one entry"),
    ({"who": "AB", "measured": "leak", "readings": "12"}, "'readings' is not a mapping"),
    ({"who": "AB", "saw": "leak_grade", "is": "film", "readings": {}}, "'readings' does not go with 'saw'"),
]  # fmt: skip


@pytest.mark.parametrize(("entry", "says"), BROKEN, ids=[says[:40] for _, says in BROKEN])
def test_what_cannot_be_is_one_sentence_at_its_place(entry: dict[str, Any], says: str) -> None:
    with pytest.raises(CaseError) as caught:
        case(entry)
    (line,) = str(caught.value).splitlines()
    assert says in line
    assert re.match(r"case\.yaml:\d+:\d+: ", line)
    assert "--" not in line
    assert "; " in line


def test_a_fault_points_at_its_reading() -> None:
    written = text(measured("weld", {**BEAD, "wall": "10"}))
    with pytest.raises(CaseError) as caught:
        parse_case(written.encode(), "case.yaml", shipped.knowledge())
    number = int(str(caught.value).split(":")[1])
    assert "wall" in written.splitlines()[number - 1]


def test_a_count_that_is_not_the_axles() -> None:
    with pytest.raises(CaseError, match="12 fasteners do not fit Onyx single drive axle, which has 16"):
        case(measured("fasteners", {**RING, "count": "12"}), axle="onyx_single")


@pytest.mark.parametrize(("by", "readings"), [("fasteners", RING), ("weld", BEAD), ("leak", DRIPS)])
def test_written_and_read_again_it_is_the_same(by: str, readings: dict[str, str]) -> None:
    made = case(measured(by, readings, tool="wrench 4"))
    assert parse_case(case_text(made).encode(), "case.yaml", shipped.knowledge()) == made


def test_a_face_on_the_truck_cannot_have_been_measured() -> None:
    with pytest.raises(CaseError, match="it needs"):
        case(measured("flatness", FACE))
