"""A result that sets off rules of its own is not followed by a repair that they bar."""

import pytest

from leakdx.case import Case, Done, LogEntry, Observation, Told
from leakdx.reasoning.answer import Outcome
from leakdx.reasoning.barred_then import barred_then
from leakdx.reasoning.diagnosis import Diagnosis, diagnose
from tests.shipped import knowledge

CLOSED_ANEW = ("reseal_with_gasket", "new_fasteners")
RESTORED = (*CLOSED_ANEW, "restore_housing_face")
FACE = "housing_face_flatness"


@pytest.fixture(scope="module")
def lies_open() -> Diagnosis:
    """Sealed over oil, the carrier out, and neither face measured."""
    log: list[LogEntry] = [
        Observation(number=1, who="AB", sign="wet.carrier_joint", answer="yes"),
        Told(number=2, who="AB", group="sealing_material", answer="sealant"),
        Done(number=3, who="AB", act="drained"),
        Done(number=4, who="AB", act="carrier_out"),
        Observation(number=5, who="AB", sign="oil_film_under_bead", answer="yes"),
    ]
    case = Case(id="KD-1", complaint=knowledge().complaint, log=tuple(log))
    return diagnose(knowledge(), case)


def found(answer: str, repair: tuple[str, ...] = CLOSED_ANEW, p_hold: float = 0.9) -> Outcome:
    return Outcome({FACE: answer}, 0.1, "sealed_over_oil", 0.8, repair, p_hold)


def test_nothing_goes_on_a_face_that_would_read_beyond_its_limit(lies_open: Diagnosis) -> None:
    assert barred_then(lies_open, found("yes")).startswith("The housing face is beyond 0.005 in.")


def test_nothing_is_barred_where_it_would_be_within_or_is_restored_first_or_nothing_is_repaired(
    lies_open: Diagnosis,
) -> None:
    for fine in (found("no"), found("yes", RESTORED), found("yes", ()), found("yes", p_hold=0.3)):
        assert barred_then(lies_open, fine) == ""
