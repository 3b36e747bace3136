"""A torque audit typed fastener by fastener: each judged as it is read, the pattern once all are."""

import pytest

from leakdx.case import Measurement
from leakdx.diagrams.flangemap import READ, UNREAD, WEAK
from leakdx.interview.measuring.form import Form
from leakdx.interview.question import ReplyError
from tests.interview.measuring.by_hand import case, form, typed

RING = ["225", "220", "230", "210", "90", "0", "80", "220", "222", "225", "219", "228", "224", "221", "223", "226"]


@pytest.fixture(scope="module")
def audit() -> Form:
    return form("fasteners", case())


def read(*values: str) -> list[tuple[str, str]]:
    return [("grade", "8"), *((f"n{n}", value) for n, value in enumerate(values, 1))]


def test_only_what_the_family_does_not_know_is_asked(audit: Form) -> None:
    own = [line.name for line in audit.settings({})]
    assert own == ["grade", "turning", "way"]
    assert [line.name for line in form("fasteners", case(axle=None)).lines({})] == [
        "thread", "grade", "torque", "turning", "way", "count", "shape", "tool", "calibrated",
    ]  # fmt: skip
    assert "bond" in [line.name for line in audit.settings({"turning": "adhesive"})]


def test_each_fastener_is_judged_as_it_is_read(audit: Form) -> None:
    kept = typed(audit, read(*RING[:6]))
    found = audit.found(kept)
    assert found.said[0].startswith("6 of 16 read; turns freely: 6 (over 99 %); has lost clamp: 5 (over 99 %)")
    assert [spot.mark for spot in audit.drawn(kept, found).spots] == [*READ * 4, WEAK, WEAK, *UNREAD * 10]


def test_the_whole_ring_says_its_pattern_and_is_kept_as_typed(audit: Form) -> None:
    kept = typed(audit, read(*RING))
    assert audit.found(kept).said == (
        "Residual torque round the ring: neighbours low together over 99 %",
        "Lost clamp: 5 6 7, by the first movement of 16 fasteners",
    )
    (entry,) = audit.entries(kept)
    assert isinstance(entry, Measurement)
    assert entry.readings == {"grade": "8", "audit": f"{' '.join(RING)} lb-ft"}


def test_a_metric_reading_among_others_is_the_same_torque(audit: Form) -> None:
    kept = typed(audit, [*read(*RING), ("n1", "305 N-m")])
    (entry,) = audit.entries(kept)
    assert isinstance(entry, Measurement)
    first, second, *_, unit = entry.readings["audit"].split()
    assert (first, unit) == ("305", "N*m")
    assert float(second) == pytest.approx(298.28, abs=0.01)
    assert audit.found(kept).said == audit.found(typed(audit, read(*RING))).said


def test_a_ring_with_a_gap_is_not_written_and_says_which(audit: Form) -> None:
    kept = typed(audit, read(*RING))
    del kept["n7"]
    with pytest.raises(ReplyError, match="not read yet: 7; an audit needs every fastener"):
        audit.entries(kept)
    del kept["grade"]
    with pytest.raises(ReplyError, match="'grade' is not typed yet"):
        audit.entries(kept)
    assert audit.found(kept).wrong.startswith("give grade of the fasteners")


def test_a_reading_that_would_break_the_fastener_is_said(audit: Form) -> None:
    assert "fastener 1 reads" in audit.found(typed(audit, read("22500"))).wrong
